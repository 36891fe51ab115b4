"""Codes of what a course does to the water, the animals and the people around it."""

from __future__ import annotations

from tankside.errors.code import Area, CautionTarget, Code, Level, Refusal, RefusalKind, Warned

HERE = Area.WATER
BAD = Refusal(RefusalKind.BAD_INPUT)
IN_A_FIELD = Refusal(RefusalKind.BAD_INPUT, field=True)
BLOCKED, CARE, NOTE = (Level.BLOCKED,), (Level.CARE,), (Level.NOTE,)
WATER = (CautionTarget.BODY,)
THEN = (*WATER, CautionTarget.HOUR)
CITED = (*WATER, CautionTarget.CLAIM)
THEN_CITED = (*THEN, CautionTarget.CLAIM)
AGENT_CITED = (CautionTarget.AGENT, CautionTarget.CLAIM)
DOSED = (*THEN, CautionTarget.AGENT)
DOSE_CITED = (*THEN, *AGENT_CITED)

CODES = (
    Code("E-WATER-01", HERE, "The water is outside the range of the formula.", Refusal(
        RefusalKind.NOT_POSSIBLE, field=True)),
    Code("E-WATER-02", HERE, "The kind of salt is missing.", IN_A_FIELD),
    Code("E-WATER-03", HERE, "The word is not one of those listed.", IN_A_FIELD),
    Code("E-WATER-04", HERE, "Nobody knows what the new water was treated with.", Refusal(
        RefusalKind.NOT_POSSIBLE, field=True), Warned(BLOCKED, WATER)),
    Code("S-OXYGEN", HERE, "Oxygen gets low, or fish gasp.", BAD,
         Warned((*BLOCKED, *CARE), CITED)),
    Code("S-OXYGEN-ASK", HERE, "Oxygen cannot be followed without a reading.", None,
         Warned(CARE, CITED)),
    Code("S-AMMONIA", HERE, "Toxic ammonia gets high.", None, Warned(CARE, THEN_CITED)),
    Code("S-AMMONIA-ASK", HERE, "Ammonia cannot be followed without readings.", None,
         Warned(NOTE, CITED)),
    Code("S-AMMONIA-BOUND", HERE, "A conditioner may spoil the ammonia reading.", None,
         Warned(CARE, CITED)),
    Code("S-NITRITE", HERE, "Nitrite may rise.", None, Warned(CARE, THEN_CITED)),
    Code("S-PH", HERE, "The pH jumps.", None, Warned(CARE, THEN_CITED)),
    Code("S-CO2", HERE, "Air drives out the carbon dioxide that is added.", None,
         Warned(CARE, THEN)),
    Code("S-SALT-RATE", HERE, "The salt rises fast.", BAD,
         Warned((*BLOCKED, *CARE), THEN_CITED)),
    Code("S-SALT-THERE", HERE, "There may be salt in the water already.", None,
         Warned(CARE, (*WATER, *AGENT_CITED))),
    Code("S-SALT-HOST", HERE, "The salt comes near what a group does not bear.", BAD,
         Warned((*BLOCKED, *CARE), (*WATER, CautionTarget.GROUP, *AGENT_CITED))),
    Code("S-HEAT-RATE", HERE, "The temperature changes fast.", None,
         Warned(CARE, THEN_CITED)),
    Code("S-HEAT", HERE, "The water gets too warm for a group.", BAD,
         Warned((*BLOCKED, *CARE, *NOTE), WATER)),
    Code("S-COLD", HERE, "The water gets too cold for a group.", None, Warned(CARE, WATER)),
    Code("S-TEMPERATURE-ASK", HERE, "The temperature is not known.", None,
         Warned(CARE, WATER)),
    Code("S-OVERFLOW", HERE, "What is put in runs away with the water that flows through.", BAD,
         Warned((*BLOCKED, *CARE), DOSED)),
    Code("S-FILTER", HERE, "The filter may suffer.", None, Warned(CARE, DOSE_CITED)),
    Code("S-CARBON", HERE, "Carbon takes the agent out, or nobody knows if it is in.", BAD,
         Warned((*BLOCKED, *CARE, *NOTE), DOSE_CITED)),
    Code("S-SUBSTRATE", HERE, "Rock, sand or gravel takes the agent up, or nobody looked.", None,
         Warned((*CARE, *NOTE), DOSE_CITED)),
    Code("S-UV", HERE, "UV light breaks the agent down.", None, Warned(CARE, DOSE_CITED)),
    Code("S-OZONE", HERE, "Ozone breaks the agent down, or may.", None, Warned(CARE, DOSE_CITED)),
    Code("S-SKIMMER", HERE, "The skimmer takes the agent out, or may.", None,
         Warned(CARE, DOSE_CITED)),
    Code("S-PEOPLE", HERE, "Nobody has filled in what its handlers must know.", BAD,
         Warned(BLOCKED, AGENT_CITED)),
    Code("S-HANDLING", HERE, "So much at once needs a trained person.", None,
         Warned(CARE, AGENT_CITED)),
    Code("S-FOOD", HERE, "The animals may be eaten: the waiting time counts.", BAD,
         Warned((*BLOCKED, *CARE, *NOTE), AGENT_CITED)),
    Code("S-LOSSES", HERE, "One group has lost more than the average tells.", None,
         Warned(CARE, (*WATER, CautionTarget.GROUP, CautionTarget.CLAIM))),
    Code("S-BASE", HERE, "The knowledge files here are not those released.", None,
         Warned(CARE, (CautionTarget.AGENT,))),
    Code("S-PRACTICE", HERE, "This practice added something to what was released.", None,
         Warned(NOTE, AGENT_CITED)),
)  # fmt: skip
