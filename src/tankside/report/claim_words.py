"""What a sampled name means, in plain words."""

from __future__ import annotations

from tankside.claims.organism import Organism

OF_A_STAGE = {
    "birth_per_d": "young a day",
    "establish": "share that settles on meeting a fish",
    "filter_catch": "share a fine filter catches",
    "hatch_share": "share of the young that leave it alive",
    "hatch_top_c": "warmth above which nothing hatches",
    "immune_loss_per_d": "losses a day on an immune fish",
    "infective_half_h": "hours until half can no longer settle",
    "lay_per_d": "eggs a day",
    "life": "life without a fish",
    "loss_per_d": "losses a day",
    "offspring": "young of one",
    "oxygen_full_mg_l": "oxygen from which development is unhindered",
    "oxygen_halt_mg_l": "oxygen at which development stops",
    "salt_high_full_g_l": "salt below which development is unhindered",
    "salt_high_halt_g_l": "salt above which development stops",
    "salt_low_full_g_l": "salt above which development is unhindered",
    "salt_low_halt_g_l": "salt below which development stops",
    "release_salt_half_g_l": "salt at which half of the release fails",
    "release_salt_steepness": "how sharply salt stops the release",
    "residence": "length of the stay",
    "search_l_per_h": "litres searched for a fish in an hour",
    "siphoned_share": "part of it that a siphon can lift",
    "strain_factor": "slowness of the strain",
    "transfer_per_d": "moves to another fish a day",
    "uv_kill": "share killed on passing the UV unit",
    "visible_from": "part of the stay after which a spot can be seen",
}
OF_THE_FISH = {
    "host.dead_leave_early": "parasites that leave a dead fish early",
    "host.death_per_h": "how fast a heavy load kills",
    "host.harm_growth": "how much of the harm of a parasite grows with it",
    "host.healing_per_d": "part of the harm that heals in a day",
    "host.lethal_burden": "parasites that kill a fish",
    "host.lethal_load": "parasites that kill half of the fish in one stay",
    "host.lethal_reference_g": "weight of the fish that figure stands for",
    "host.lethal_slope": "how sharply more parasites kill",
    "host.susceptibility_cv": "how unlike the fish are in catching it",
    "immunity.onset_d": "days until fish begin to resist",
    "immunity.prior": "parasites a fish must have borne to resist later ones",
    "immunity.refused_cold": "share resistant fish refuse, in the cold",
    "immunity.refused_warm": "share resistant fish refuse, in the warm",
    "seen.body_share": "share on skin and fins, not on the gills",
    "seen.eye_detection": "share of the spots a person counts",
    "seen.scrape_share": "share of a fish's parasites that comes onto a slide",
    "seen.dispersion": "how widely counts scatter",
    "water.stratum": "how much water there really is",
    "water.in_bracket": "how much of each agent is really in the water",
    "action.share_in_range": "how much siphoning and filters really take out",
}
OF_A_GROUP = {
    "weight_g": "weight of one fish",
    "susceptibility": "how readily it catches the parasite",
    "bearing": "how much more than the fish in print it bears",
    "per_fish": "parasites on a carrying fish at the start",
    "carriers": "share that carries any at the start",
    "immune": "share that is immune at the start",
}
OF_A_BODY = {
    "bottom": "stages on the bottom at the start",
    "swimmers": "free stages at the start",
    "arrival": "free stages that arrive later",
}
OF_AN_AGENT = {
    "lc50_mg_l": "strength that kills half",
    "half_c": "warmth that kills half",
    "half_g_l": "salinity below which half die",
    "half_mg_kg_d": "feed dose that kills half",
    "harmless": "strength that does nothing",
    "contact_h": "hours of contact needed",
    "refused": "share of the parasites that treated fish refuse",
    "ratio": "how much harder it is to kill",
    "steepness": "how sharply strength kills",
    "strong_exponent": "how a short strong bath follows its strength",
    "transfer": "part of the kill in a dish that is seen on fish in a tank",
}


def claim_words(key: str, organism: Organism) -> str:
    """Return what a sampled name means: "length of the stay (dividing in a cyst ...)".

    Args:
        key: as drawn.
        organism: whose claims they are.
    """
    if key in OF_THE_FISH:
        return OF_THE_FISH[key]
    head, _, rest = key.partition(".")
    stages = {stage.key: stage.words for stage in organism.stages}
    if head in stages and rest in OF_A_STAGE:
        return f"{OF_A_STAGE[rest]} ({stages[head]})"
    if head in OF_A_GROUP:
        return f"{OF_A_GROUP[head]} ({rest})"
    if head in OF_A_BODY:
        return f"{OF_A_BODY[head]} ({rest})"
    parts = key.split(".")
    if head in ("kill", "feed") and parts[-1] in OF_AN_AGENT:
        agent, stage = parts[1].replace("_", " "), stages.get(parts[2])
        where = f" ({stage})" if stage else ""
        return f"{OF_AN_AGENT[parts[-1]]}: {agent}{where}"
    return key.replace("_", " ")
