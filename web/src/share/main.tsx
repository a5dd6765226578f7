import { render } from "preact";
import { followSystem, paintTheme } from "../shell/theme";
import { glueAll } from "../words/glue";
import { ShareScreen } from "./screen";
import "./main.css";

glueAll();
paintTheme();
followSystem();
const place = document.getElementById("app");
if (place) render(<ShareScreen />, place);
