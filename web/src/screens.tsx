// Which screen an address shows. A new screen is one line here and one in routes.ts.
import type { VNode } from "preact";
import { AgainScreen } from "./again/screen";
import { AccountsScreen } from "./accounts/screen";
import { BullpenScreen } from "./bullpen/screen";
import { FilmRoomScreen } from "./film-room/screen";
import { HomeScreen } from "./home/screen";
import { HomeworkScreen } from "./homework/screen";
import { LevelsScreen } from "./levels/screen";
import { PitcherScreen } from "./pitcher/screen";
import { ReportScreen } from "./report/screen";
import { RepsScreen } from "./reps/screen";
import { Link } from "./shell/router";
import { to, type Route } from "./shell/routes";
import { SideBySideScreen } from "./side-by-side/screen";
import { WorkoutsScreen } from "./workouts/screen";

export function screenOf(route: Route): VNode {
  switch (route.screen) {
    case "home":
      return <HomeScreen />;
    case "film-room":
      return <FilmRoomScreen key={route.id} bullpenId={route.id} {...(route.rep ? { repId: route.rep } : {})} />;
    case "bullpen":
      return <BullpenScreen key={route.id} bullpenId={route.id} />;
    case "report":
      return <ReportScreen key={route.id} bullpenId={route.id} />;
    case "again":
      return <AgainScreen key={route.id} bullpenId={route.id} />;
    case "pitcher":
      return <PitcherScreen key={route.id} id={route.id} />;
    case "reps":
      return <RepsScreen />;
    case "workouts":
      return <WorkoutsScreen />;
    case "homework":
      return <HomeworkScreen key={route.id} id={route.id} />;
    case "levels":
      return <LevelsScreen />;
    case "accounts":
      return <AccountsScreen />;
    case "side-by-side":
      return <SideBySideScreen off={route.off} {...(route.fast ? { fast: route.fast } : {})} />;
    case "nowhere":
      return (
        <>
          <h1>There is nothing here</h1>
          <p>This address leads nowhere. <Link to={to.home}>Go home</Link>.</p>
        </>
      );
  }
}
