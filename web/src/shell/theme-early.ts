// Runs before the first paint.
import { paintTheme } from "./theme";

paintTheme();
