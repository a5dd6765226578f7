// The page's addresses. The server answers every one of them with the page.

export type Route =
  | { screen: "home" }
  | { screen: "bullpen"; id: string }
  | { screen: "film-room"; id: string; rep?: string }
  | { screen: "report"; id: string }
  | { screen: "again"; id: string }
  | { screen: "pitcher"; id: string }
  | { screen: "reps" }
  | { screen: "workouts" }
  | { screen: "levels" }
  | { screen: "accounts" }
  | { screen: "homework"; id: string }
  | { screen: "side-by-side"; off: string; fast?: string }
  | { screen: "nowhere" };

export function routeOf(path: string): Route {
  const parts = path.split("/").filter(Boolean).map(decodeURIComponent);
  const [first, id, third, fourth] = parts;
  if (first === undefined) return { screen: "home" };
  if (first === "reps" && id === undefined) return { screen: "reps" };
  if (first === "workouts" && id === undefined) return { screen: "workouts" };
  if (first === "levels" && id === undefined) return { screen: "levels" };
  if (first === "accounts" && id === undefined) return { screen: "accounts" };
  if (id === undefined) return { screen: "nowhere" };
  if (first === "homework" && third === undefined) return { screen: "homework", id };
  if (first === "bullpens" && third === undefined) return { screen: "bullpen", id };
  if (first === "bullpens" && third === "film") {
    return fourth === undefined ? { screen: "film-room", id } : { screen: "film-room", id, rep: fourth };
  }
  if (first === "bullpens" && third === "again") return { screen: "again", id };
  if (first === "bullpens" && third === "report") return { screen: "report", id };
  if (first === "pitchers" && third === undefined) return { screen: "pitcher", id };
  if (first === "side-by-side") {
    return third === undefined ? { screen: "side-by-side", off: id } : { screen: "side-by-side", off: id, fast: third };
  }
  return { screen: "nowhere" };
}

const part = encodeURIComponent;

export const to = {
  home: "/",
  reps: "/reps",
  workouts: "/workouts",
  levels: "/levels",
  accounts: "/accounts",
  homework: (id: string) => `/homework/${part(id)}`,
  bullpen: (id: string) => `/bullpens/${part(id)}`,
  filmRoom: (id: string, rep?: string) => `/bullpens/${part(id)}/film${rep ? `/${part(rep)}` : ""}`,
  report: (id: string) => `/bullpens/${part(id)}/report`,
  again: (id: string) => `/bullpens/${part(id)}/again`,
  pitcher: (id: string) => `/pitchers/${part(id)}`,
  distance: (id: string) => `/pitchers/${part(id)}#distance`,
  sideBySide: (off: string, fast?: string) => `/side-by-side/${part(off)}${fast ? `/${part(fast)}` : ""}`,
};
