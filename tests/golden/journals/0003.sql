SET statement_timeout = 0;
SET lock_timeout = 0;
SET idle_in_transaction_session_timeout = 0;
SET client_encoding = 'UTF8';
SET standard_conforming_strings = on;
SELECT pg_catalog.set_config('search_path', '', false);
SET check_function_bodies = false;
SET xmloption = content;
SET client_min_messages = warning;
SET row_security = off;
CREATE FUNCTION public.append_only() RETURNS trigger
    LANGUAGE plpgsql
    AS $$ BEGIN RAISE EXCEPTION 'append only' USING ERRCODE = 'restrict_violation'; END $$;
CREATE FUNCTION public.entry_behind_the_last() RETURNS trigger
    LANGUAGE plpgsql
    AS $$ BEGIN IF NEW.sequence <> (SELECT coalesce(max(sequence), 0) + 1 FROM entry) OR (NEW.sequence > 1 AND NEW.previous <> (SELECT hash FROM entry WHERE sequence = NEW.sequence - 1)) THEN RAISE EXCEPTION 'append only' USING ERRCODE = 'restrict_violation'; END IF; RETURN NEW; END $$;
CREATE FUNCTION public.journal_begun() RETURNS trigger
    LANGUAGE plpgsql
    AS $$ BEGIN IF EXISTS (SELECT 1 FROM journal) THEN RAISE EXCEPTION 'append only' USING ERRCODE = 'restrict_violation'; END IF; RETURN NEW; END $$;
CREATE FUNCTION public.person_behind_the_last() RETURNS trigger
    LANGUAGE plpgsql
    AS $$ BEGIN IF NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM person) THEN RAISE EXCEPTION 'append only' USING ERRCODE = 'restrict_violation'; END IF; RETURN NEW; END $$;
CREATE FUNCTION public.person_taken_away() RETURNS trigger
    LANGUAGE plpgsql
    AS $$ BEGIN IF NEW.name IS NOT NULL OR NEW.salt IS NOT NULL OR NEW.number <> OLD.number OR NEW.commitment <> OLD.commitment THEN RAISE EXCEPTION 'append only' USING ERRCODE = 'restrict_violation'; END IF; RETURN NEW; END $$;
SET default_tablespace = '';
SET default_table_access_method = heap;
CREATE TABLE public.alembic_version (
    version_num character varying(32) NOT NULL
);
CREATE TABLE public.case_due (
    case_number bigint NOT NULL,
    due_on character varying(10) NOT NULL,
    what character varying(20) NOT NULL,
    steps integer NOT NULL,
    content_hash character varying(64) NOT NULL
);
CREATE TABLE public.case_list (
    case_number bigint NOT NULL,
    label text NOT NULL,
    name text NOT NULL,
    name_key text NOT NULL,
    keeper bigint NOT NULL,
    opened character varying(10) NOT NULL,
    last character varying(10) NOT NULL,
    version integer NOT NULL,
    closed integer NOT NULL,
    content_hash character varying(64) NOT NULL
);
CREATE TABLE public.case_outcome (
    case_number bigint NOT NULL,
    closed_on character varying(10),
    outcome character varying(20),
    days integer NOT NULL,
    fish integer,
    deaths integer NOT NULL,
    content_hash character varying(64) NOT NULL
);
CREATE TABLE public.case_word (
    case_number bigint NOT NULL,
    place character varying(20) NOT NULL,
    word text NOT NULL COLLATE pg_catalog."C",
    content_hash character varying(64) NOT NULL
);
CREATE TABLE public.entry (
    sequence bigint NOT NULL,
    case_number bigint NOT NULL,
    case_version integer NOT NULL,
    label text,
    written_at text NOT NULL,
    clock text,
    recorded_at text NOT NULL,
    occurred_at text NOT NULL,
    author bigint NOT NULL,
    author_role text,
    submission text,
    body text NOT NULL,
    previous character varying(64) NOT NULL,
    hash character varying(64) NOT NULL,
    photo character varying(64),
    CONSTRAINT ck_entry_counted CHECK (((sequence >= 1) AND (case_number >= 1) AND (case_version >= 1))),
    CONSTRAINT ck_entry_label CHECK (((label IS NULL) OR (case_version = 1)))
);
CREATE TABLE public.journal (
    number integer NOT NULL,
    identity character varying(32) NOT NULL,
    begun_at text NOT NULL,
    CONSTRAINT ck_journal_single CHECK ((number = 1))
);
CREATE TABLE public.person (
    number bigint NOT NULL,
    commitment character varying(64) NOT NULL,
    salt character varying(32),
    name text
);
CREATE TABLE public.photo (
    sha256 character varying(64) NOT NULL,
    size_bytes integer NOT NULL,
    data bytea NOT NULL
);
CREATE TABLE public.projection (
    name character varying(40) NOT NULL,
    revision integer NOT NULL,
    through_sequence bigint NOT NULL
);
INSERT INTO public.alembic_version VALUES ('0003');
INSERT INTO public.case_list VALUES (1, 'elm', 'Elm Road', 'elm road', 2, '2026-03-02', '2026-03-02', 3, 0, '18759e0e66dfbf13d6ea0eefc38fccac7030d5e292e2780eeade7c5579edda15');
INSERT INTO public.case_list VALUES (2, 'oak', 'Oak Wharf', 'oak wharf', 4, '2026-03-02', '2026-03-02', 1, 0, '336ec947d923a67be65d1d20c7f66054678dcd649e0c529b05c0ee7de5c5649e');
INSERT INTO public.case_outcome VALUES (1, NULL, NULL, 0, NULL, 0, '80ccc3ebb546762d488c76ec63871b2341a24fa137c3886be01bacd19e2fdd96');
INSERT INTO public.case_outcome VALUES (2, NULL, NULL, 0, NULL, 0, 'c4ca49d903dc4125ec8012ea4f3cbc89babb78dea3d433c92f54b69c22c73ff5');
INSERT INTO public.case_word VALUES (1, 'name', 'elm', '19a3b20abaec4353ea39a2a9a8084612aca476e85a69329a08b30eddb1896fb1');
INSERT INTO public.case_word VALUES (1, 'name', 'road', 'a42644369ded2cc10ed7104a005e36cefd30625e0108a0eef607d49e527628a2');
INSERT INTO public.case_word VALUES (2, 'name', 'oak', '19ed4c39e0f1225c79adf47fd92950fa82b6df073ce465443eb67a7c6a1157f3');
INSERT INTO public.case_word VALUES (2, 'name', 'wharf', '26afcadcc2f75cd5f35f9cd9d223af92d7babf7c63d1ed1ee09771b820cfe4d2');
INSERT INTO public.entry VALUES (1, 1, 1, 'elm', '2026-11-30T16:00:00.000000+00:00', NULL, '2026-03-30T10:00:00Z', '2026-03-02T12:00+00:00', 1, NULL, NULL, '{"by":1,"id":1,"keeper":2,"kind":"opened","name":"Elm Road","occurred_at":"2026-03-02T12:00+00:00","recorded_at":"2026-03-30T10:00:00Z","water":"fresh","zone":"Europe/London"}', '17ffbbb73a0cf34ab1e6e3dbda1facfa3c462f35d6941f837cacfc42350c3623', 'd52cc43673f11780511a8665c4d067a37878cfa0916eb278aeea6b8451c1088f', NULL);
INSERT INTO public.entry VALUES (2, 1, 2, NULL, '2026-11-30T16:00:00.000000+00:00', NULL, '2026-03-30T10:00:00Z', '2026-03-02T12:00+00:00', 1, NULL, 'k1', '{"by":1,"file":"loach.png","id":2,"kind":"photo","occurred_at":"2026-03-02T12:00+00:00","recorded_at":"2026-03-30T10:00:00Z","sha256":"36df2f9c66f69bdc88214ccca9ff39c548cc7a04896c01b962f565d432116d8c"}', 'd52cc43673f11780511a8665c4d067a37878cfa0916eb278aeea6b8451c1088f', '7faadadf8808a486da05bcd86dd6e17c7dd808953b4f2df3b5e8b4ab578932b8', '36df2f9c66f69bdc88214ccca9ff39c548cc7a04896c01b962f565d432116d8c');
INSERT INTO public.entry VALUES (3, 1, 3, NULL, '2026-11-30T16:00:00.000000+00:00', NULL, '2026-03-30T10:00:00Z', '2026-03-02T12:00+00:00', 3, 'student', 'k1', '{"by":3,"id":3,"kind":"note","occurred_at":"2026-03-02T12:00+00:00","recorded_at":"2026-03-30T10:00:00Z","role":"student","text":"note 3"}', '7faadadf8808a486da05bcd86dd6e17c7dd808953b4f2df3b5e8b4ab578932b8', 'af8421ae822178eb5392ce8ea28a6593b7259b57f1f9ab56c95461c2d8f3c340', NULL);
INSERT INTO public.entry VALUES (4, 2, 1, 'oak', '2026-11-30T16:00:00.000000+00:00', NULL, '2026-03-30T10:00:00Z', '2026-03-02T12:00+00:00', 1, NULL, NULL, '{"by":1,"id":1,"keeper":4,"kind":"opened","name":"Oak Wharf","occurred_at":"2026-03-02T12:00+00:00","recorded_at":"2026-03-30T10:00:00Z","water":"fresh","zone":"Europe/London"}', 'af8421ae822178eb5392ce8ea28a6593b7259b57f1f9ab56c95461c2d8f3c340', 'a67cf5c8b1b1f4adf1781e9479aad2ec9f524d43afaa84ffe62183c4e9bc9d68', NULL);
INSERT INTO public.journal VALUES (1, '01010101010101010101010101010101', '2026-11-30T16:00:00+00:00');
INSERT INTO public.person VALUES (1, '2689a6cb8aeac452afd73367d9e46a4b8295e9d9ae2b59aad5d3921f1776c478', '02020202020202020202020202020202', 'me');
INSERT INTO public.person VALUES (2, '7c54e1b407448a958602a771ae0ba077e7fae1f35dd5b0c230daad8260820003', '03030303030303030303030303030303', 'Marta Vell');
INSERT INTO public.person VALUES (3, '6788481ed34c01e66a22c9c61b7d73ba8b7b8143745c6e899563699ab6f62239', '04040404040404040404040404040404', 'Zoë');
INSERT INTO public.person VALUES (4, '8047e66587938776918141c29d05f07a5f01952d95dd390e82c1fa30570b5a48', '05050505050505050505050505050505', 'Ilse Brandt');
INSERT INTO public.photo VALUES ('36df2f9c66f69bdc88214ccca9ff39c548cc7a04896c01b962f565d432116d8c', 600, '\x89504e470d0a1a0a0000000d4948445200000001000000010804000000b51c0c020000000b4944415478da6364f80f00010501012718e3660000000049454e44ae426082fd3feb3c9250b7974a9b528b69636321a461b55ef55b7beafd809a9a9e925b79a6342fa0fdb8b294d97fc6103d92089b25fa5e039f52a8e8a95f64d6589c1f7844066542ec38008d331dfd3b272416317694e2fe860397b774306378b5437d8a755622d6d7a0b48cb048f279829caa652af899a3e1f16bdc45cc8e26863d5f3b7f3a86a244b9d026843738deb48d03ed3034ef8590e4d26399aec2bd13a8e003589fe1ab3edaf8c6515d6410246fce2892601bc222871ef56a4d5297d238f40a9fe01f4dd917b3c7ce62f0074384d5d2603193dd4c79f944961506791781419820d804b84f628feb38e0f9e0ee503a638930d1b67080c1c95e1fcdebdb9a4b6d53521c65b37666ba715b08cd045ab09372afd2710ad9cef6889c82ef9f985722dd67fde043b2925d1cc4f218dfdd2f09fbdace22f4adb07edc748c37be0e0b42c8b429f7e2e40aacca4da86f43bf6ac7a1056ca05b10f0da8f0d104d8b63d06b10adda81a5c15ed58521c8627b27f3920545d559d9faba88b46ac7955be456689486919504ae7d3b70c479e74b3b3656936196ae47556dea0961cfed3149560750113ddb6b7b9947547fb1fd09f8169b2c95d8ab079310b296e5c0295e7dd8b2cabd52dc4e508e53412ff2f6322cb18ae6279ae7afae6b928e07b19140b6a41a4fb6bcb6d794cfa779490c367cb50aa2c341e4d4f349f2fc3a04d3922aad5f44edf8f24825f6da1fc2f33e10e271647b8cf99bda');
INSERT INTO public.projection VALUES ('case_list', 1, 4);
INSERT INTO public.projection VALUES ('case_word', 1, 4);
INSERT INTO public.projection VALUES ('case_due', 1, 4);
INSERT INTO public.projection VALUES ('case_outcome', 1, 4);
ALTER TABLE ONLY public.alembic_version
    ADD CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num);
ALTER TABLE ONLY public.case_due
    ADD CONSTRAINT pk_case_due PRIMARY KEY (case_number, due_on, what);
ALTER TABLE ONLY public.case_list
    ADD CONSTRAINT pk_case_list PRIMARY KEY (case_number);
ALTER TABLE ONLY public.case_outcome
    ADD CONSTRAINT pk_case_outcome PRIMARY KEY (case_number);
ALTER TABLE ONLY public.case_word
    ADD CONSTRAINT pk_case_word PRIMARY KEY (case_number, place, word);
ALTER TABLE ONLY public.entry
    ADD CONSTRAINT pk_entry PRIMARY KEY (sequence);
ALTER TABLE ONLY public.journal
    ADD CONSTRAINT pk_journal PRIMARY KEY (number);
ALTER TABLE ONLY public.person
    ADD CONSTRAINT pk_person PRIMARY KEY (number);
ALTER TABLE ONLY public.photo
    ADD CONSTRAINT pk_photo PRIMARY KEY (sha256);
ALTER TABLE ONLY public.projection
    ADD CONSTRAINT pk_projection PRIMARY KEY (name);
ALTER TABLE ONLY public.entry
    ADD CONSTRAINT uq_entry_case_number UNIQUE (case_number, case_version);
CREATE INDEX ix_case_due_due_on ON public.case_due USING btree (due_on);
CREATE INDEX ix_case_list_keeper ON public.case_list USING btree (keeper);
CREATE INDEX ix_case_list_name_key ON public.case_list USING btree (name_key);
CREATE INDEX ix_case_word_word ON public.case_word USING btree (word, case_number);
CREATE INDEX ix_entry_submission ON public.entry USING btree (submission);
CREATE UNIQUE INDEX uq_entry_hash ON public.entry USING btree (hash);
CREATE UNIQUE INDEX uq_entry_label ON public.entry USING btree (label);
CREATE UNIQUE INDEX uq_person_name ON public.person USING btree (name);
CREATE TRIGGER entry_at_the_end BEFORE INSERT ON public.entry FOR EACH ROW EXECUTE FUNCTION public.entry_behind_the_last();
CREATE TRIGGER entry_no_change BEFORE DELETE OR UPDATE ON public.entry FOR EACH ROW EXECUTE FUNCTION public.append_only();
CREATE TRIGGER entry_no_truncate BEFORE TRUNCATE ON public.entry FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();
CREATE TRIGGER journal_no_change BEFORE DELETE OR UPDATE ON public.journal FOR EACH ROW EXECUTE FUNCTION public.append_only();
CREATE TRIGGER journal_no_truncate BEFORE TRUNCATE ON public.journal FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();
CREATE TRIGGER journal_once BEFORE INSERT ON public.journal FOR EACH ROW EXECUTE FUNCTION public.journal_begun();
CREATE TRIGGER person_at_the_end BEFORE INSERT ON public.person FOR EACH ROW EXECUTE FUNCTION public.person_behind_the_last();
CREATE TRIGGER person_no_delete BEFORE DELETE ON public.person FOR EACH ROW EXECUTE FUNCTION public.append_only();
CREATE TRIGGER person_no_truncate BEFORE TRUNCATE ON public.person FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();
CREATE TRIGGER person_only_removed BEFORE UPDATE ON public.person FOR EACH ROW EXECUTE FUNCTION public.person_taken_away();
CREATE TRIGGER photo_no_change BEFORE DELETE OR UPDATE ON public.photo FOR EACH ROW EXECUTE FUNCTION public.append_only();
CREATE TRIGGER photo_no_truncate BEFORE TRUNCATE ON public.photo FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();
ALTER TABLE ONLY public.entry
    ADD CONSTRAINT fk_entry_author FOREIGN KEY (author) REFERENCES public.person(number);
ALTER TABLE ONLY public.entry
    ADD CONSTRAINT fk_entry_photo FOREIGN KEY (photo) REFERENCES public.photo(sha256);
