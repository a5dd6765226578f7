import { render } from "preact";
import { followSystem, paintTheme } from "../shell/theme";
import { SlipScreen } from "./screen";
import "./main.css";

paintTheme();
followSystem();
const place = document.getElementById("app");
if (place) render(<SlipScreen />, place);
