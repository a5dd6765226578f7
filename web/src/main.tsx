import { render } from "preact";
import { App } from "./shell/app";
import { followSystem, paintTheme } from "./shell/theme";
import "./main.css";

paintTheme();
followSystem();
const place = document.getElementById("app");
if (place) render(<App />, place);
