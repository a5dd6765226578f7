import { render } from "preact";
import { App } from "./app";
import { followSystem, paintTheme } from "./shell/theme";
import "./main.css";
import { glueAll } from "./words/glue";

glueAll();
paintTheme();
followSystem();
const place = document.getElementById("app");
if (place) render(<App />, place);
