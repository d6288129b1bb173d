// The frame's own behaviour. Everything works without it, save the stored choice of light or dark.
import { startScheme } from "./scheme.js";
import { startFrames } from "./frames.js";
import { startLeaving } from "./leaving.js";
import { startForgetting } from "./forget_sheets.js";

startScheme(document);
startLeaving(document);
startForgetting(document);
startFrames(document);
