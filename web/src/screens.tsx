// Which screen an address shows. A new screen is one line here and one in routes.ts.
import type { VNode } from "preact";
import { FilmRoomScreen } from "./film-room/screen";
import { HomeScreen } from "./home/screen";
import { Link } from "./shell/router";
import { to, type Route } from "./shell/routes";

export function screenOf(route: Route): VNode {
  switch (route.screen) {
    case "home":
      return <HomeScreen />;
    case "film-room":
      return <FilmRoomScreen key={route.id} bullpenId={route.id} {...(route.rep ? { repId: route.rep } : {})} />;
    default:
      return (
        <>
          <h1>There is nothing here</h1>
          <p>This address leads nowhere. <Link to={to.home}>Go home</Link>.</p>
        </>
      );
  }
}
