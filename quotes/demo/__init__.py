"""An invented studio in the middle of its work, made by the verbs that the pages use."""
