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
CREATE TABLE public.projection (
    name character varying(40) NOT NULL,
    revision integer NOT NULL,
    through_sequence bigint NOT NULL
);
INSERT INTO public.alembic_version VALUES ('0002');
INSERT INTO public.case_list VALUES (1, 'elm', 'Elm Road', 'elm road', 2, '2026-03-02', '2026-03-02', 3, 0, '18759e0e66dfbf13d6ea0eefc38fccac7030d5e292e2780eeade7c5579edda15');
INSERT INTO public.case_list VALUES (2, 'oak', 'Oak Lane', 'oak lane', 4, '2026-03-02', '2026-03-02', 1, 0, 'a0ad21fca512b601928c65535f6346a043ec28b6d116e39de4f4b5ae2284683b');
INSERT INTO public.case_outcome VALUES (1, NULL, NULL, 0, NULL, 0, '80ccc3ebb546762d488c76ec63871b2341a24fa137c3886be01bacd19e2fdd96');
INSERT INTO public.case_outcome VALUES (2, NULL, NULL, 0, NULL, 0, 'c4ca49d903dc4125ec8012ea4f3cbc89babb78dea3d433c92f54b69c22c73ff5');
INSERT INTO public.case_word VALUES (1, 'name', 'elm', '19a3b20abaec4353ea39a2a9a8084612aca476e85a69329a08b30eddb1896fb1');
INSERT INTO public.case_word VALUES (1, 'name', 'road', 'a42644369ded2cc10ed7104a005e36cefd30625e0108a0eef607d49e527628a2');
INSERT INTO public.case_word VALUES (2, 'name', 'lane', '8791fe67ed5d0dec602b83198578b7cd27867cc684692192990eb01d53829e53');
INSERT INTO public.case_word VALUES (2, 'name', 'oak', '19ed4c39e0f1225c79adf47fd92950fa82b6df073ce465443eb67a7c6a1157f3');
INSERT INTO public.entry VALUES (1, 1, 1, 'elm', '2026-11-30T05:07:52.868619+00:00', NULL, '2026-03-30T10:00:00Z', '2026-03-02T12:00+00:00', 1, NULL, NULL, '{"by":1,"id":1,"keeper":2,"kind":"opened","name":"Elm Road","occurred_at":"2026-03-02T12:00+00:00","recorded_at":"2026-03-30T10:00:00Z","water":"fresh","zone":"Europe/London"}', '6fabfa816cf75a356708230857d740c060eb94305d9d7f4fb13cee97daf8898e', '365cab22491dceba875b4258f2f5dfc7a4f43000b0810269971776105f934a84');
INSERT INTO public.entry VALUES (2, 1, 2, NULL, '2026-11-30T05:07:53.143129+00:00', NULL, '2026-03-30T10:00:00Z', '2026-03-02T12:00+00:00', 1, NULL, 'first', '{"by":1,"id":2,"kind":"note","occurred_at":"2026-03-02T12:00+00:00","recorded_at":"2026-03-30T10:00:00Z","text":"note 2"}', '365cab22491dceba875b4258f2f5dfc7a4f43000b0810269971776105f934a84', '83b05f36a56ab62adfe51fd03ff0ea25fda64485c19a2e1f01dfa287130a19ed');
INSERT INTO public.entry VALUES (3, 1, 3, NULL, '2026-11-30T05:07:53.290075+00:00', NULL, '2026-03-30T10:00:00Z', '2026-03-02T12:00+00:00', 3, NULL, NULL, '{"by":3,"id":3,"kind":"note","occurred_at":"2026-03-02T12:00+00:00","recorded_at":"2026-03-30T10:00:00Z","text":"note 3"}', '83b05f36a56ab62adfe51fd03ff0ea25fda64485c19a2e1f01dfa287130a19ed', '1bbda27fca67585e5ffbfbde99e59f7128c1da03a7590c402878e1fcb1bc1303');
INSERT INTO public.entry VALUES (4, 2, 1, 'oak', '2026-11-30T05:07:53.347555+00:00', NULL, '2026-03-30T10:00:00Z', '2026-03-02T12:00+00:00', 1, NULL, NULL, '{"by":1,"id":1,"keeper":4,"kind":"opened","name":"Oak Lane","occurred_at":"2026-03-02T12:00+00:00","practitioner":5,"recorded_at":"2026-03-30T10:00:00Z","water":"fresh","zone":"Europe/London"}', '1bbda27fca67585e5ffbfbde99e59f7128c1da03a7590c402878e1fcb1bc1303', '9139bceb200bd1cf8d8edbe8311b17119fc6d95fbfb68d3048d068a0053a76ca');
INSERT INTO public.journal VALUES (1, '96b8e7944dfc02a93ef7bf5fa950290a', '2026-11-30T05:07:52+00:00');
INSERT INTO public.person VALUES (1, '61005849a902d5f4bde77c73d567c906f02d300f5c713213cf350755c30ac38c', 'b8be9b7027d560e8792c00424b30e592', 'me');
INSERT INTO public.person VALUES (2, 'e9fa3e135e60a069211ac45248f7ebb4cc5164216b0ca3f82353dcf72cbaa277', '2331349bcd1fd6483e8d002e4893d912', 'Marta Vell');
INSERT INTO public.person VALUES (3, 'c4ff4c0cf23170257db947c627846205ab7fdf4cda32cbdc18586a60719f53b7', '54dc68d6716ccd68293f8e12d1b11dc4', 'Zoë');
INSERT INTO public.person VALUES (4, '2645fde7771201a61d43c32692fa823a3327e4905da8078ee2ebf7ac8e7e72ed', 'f7c289e74416e40134a4d991fa2120d5', 'Ann Reed');
INSERT INTO public.person VALUES (5, '3b3a7392c54e425e35726ccc15a13b53f35306ac364934377cb362963289c85d', 'db70600ae999cb0015caf7abcf3d9d15', 'M. Vell');
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
ALTER TABLE ONLY public.entry
    ADD CONSTRAINT fk_entry_author FOREIGN KEY (author) REFERENCES public.person(number);
