import { render } from "preact";
import { followSystem, paintTheme } from "../shell/theme";
import { glueAll } from "../words/glue";
import "./main.css";
import { FieldScreen } from "./screen";

glueAll();
paintTheme();
followSystem();
const place = document.getElementById("app");
if (place) render(<FieldScreen />, place);
