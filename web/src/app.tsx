// The frame around every screen: where one is, what is being said, films coming in.
import { useEffect, useRef } from "preact/hooks";
import { SessionPlace, useSessionOfPage } from "./accounts/session";
import { SignIn } from "./accounts/sign-in";
import { ask } from "./api/client";
import { IntakePlace } from "./intake/drop";
import { UploadTray } from "./intake/tray";
import { screenOf } from "./screens";
import { Link, useRoute } from "./shell/router";
import { to, type Route } from "./shell/routes";
import { SayingPlace } from "./shell/say";
import { ThemeSwitch } from "./shell/theme-switch";

export function App() {
  const route = useRoute();
  const main = useRef<HTMLElement>(null);
  const address = JSON.stringify(route);
  const first = useRef(true);
  useEffect(() => {
    // A new screen is read from its top, by eye and by screen reader.
    if (!first.current) main.current?.focus();
    first.current = false;
    scrollTo(0, 0);
  }, [address]);
  const [session, setSession] = useSessionOfPage();
  if (!session) return null;
  if (!session.signedIn) return <SignIn onSignedIn={setSession} />;
  const signOut = () => void ask("delete", "/api/session").then(() => location.assign(to.home), () => location.reload());
  return (
    <SessionPlace value={session}>
    <IntakePlace bullpenId={bullpenOf(route)}>
      <a class="skip" href="#main" onClick={(e) => { e.preventDefault(); main.current?.focus(); }}>Skip to the content</a>
      <header class="bar">
        <Link to={to.home} class="brand" aria-label="tenoff, home">
          <svg viewBox="0 0 32 32" aria-hidden="true"><rect class="band" x="1" y="17" width="30" height="12" rx="2" /><circle class="fast" cx="9" cy="8" r="5" /><circle class="off" cx="22" cy="23" r="5" /></svg>
          <span>tenoff</span>
        </Link>
        <nav aria-label="Main">
          <Link to={to.home} {...(route.screen === "home" ? { "aria-current": "page" } : {})}>Home</Link>
          <Link to={to.reps} {...(route.screen === "reps" ? { "aria-current": "page" } : {})}>All reps</Link>
          <Link to={to.workouts} {...(route.screen === "workouts" ? { "aria-current": "page" } : {})}>Workouts</Link>
          <Link to={to.accounts} {...(route.screen === "accounts" ? { "aria-current": "page" } : {})}>{session.name || "Settings"}</Link>
          {!session.open && <button type="button" class="sign-out" onClick={signOut}>Sign out</button>}
        </nav>
        <ThemeSwitch />
      </header>
      <main id="main" ref={main} tabIndex={-1} class={`screen ${route.screen}`}>{screenOf(route)}</main>
      <UploadTray />
      <SayingPlace />
    </IntakePlace>
    </SessionPlace>
  );
}

function bullpenOf(route: Route): string | undefined {
  return route.screen === "bullpen" || route.screen === "film-room" ? route.id : undefined;
}
