import { render } from "preact";
import { followSystem, paintTheme } from "../shell/theme";
import { SlipScreen } from "./screen";
import "./main.css";
import { glueAll } from "../words/glue";

glueAll();
paintTheme();
followSystem();
const place = document.getElementById("app");
if (place) render(<SlipScreen />, place);
