// The phone at the fence: digits, pitch, call, and on to the next rep. All of it works
// without the laptop; what was typed is sent when that is reached again.
import { useEffect, useState } from "preact/hooks";
import { APIError } from "../api/client";
import type { Call, FieldPage, FieldPitcher, Pitch, PitchType } from "../api/types";
import { Book, dayOf, newName, type Kept } from "./book";
import { keepPage, knownPage, readPage, rememberPage, storage, tell, token } from "./desk";
import { finish, press, type Typing } from "./typing";

export function FieldScreen() {
  const { page, gone } = usePage();
  useEffect(() => void (document.title = "At the field"), []);
  if (!page) return <main class="closed"><h1>At the field</h1><p role="status">{gone || "Opening …"}</p></main>;
  if (page.pitchers.length === 0) return <main class="closed"><h1>At the field</h1><p>There is no pitcher yet. Begin a bullpen on the laptop, then open this page again.</p></main>;
  return <Lesson page={page} gone={gone} />;
}

/** Who throws is asked where it may be one of several, once a day: readings must not go to another. */
function Lesson({ page, gone }: { page: FieldPage; gone: string }) {
  const [id, setId] = useState(chosenToday);
  const her = page.pitchers.length === 1 ? page.pitchers[0] : page.pitchers.find((p) => p.id === id);
  const choose = (next: string) => {
    setId(next);
    try {
      storage()?.setItem(chosen, `${dayOf(Date.now())} ${next}`);
    } catch {
      // Then it is asked again.
    }
  };
  if (her) return <Fence key={her.id} page={page} her={her} choose={choose} gone={gone} />;
  return (
    <main class="closed">
      <h1>Who throws?</h1>
      {gone && <p class="notice alarm" role="alert">{gone}</p>}
      <ul class="roster">{page.pitchers.map((p) => <li key={p.id}><button type="button" class="button" onClick={() => choose(p.id)}>{p.label}</button></li>)}</ul>
    </main>
  );
}

const chosen = "tenoff-field-pitcher";

function chosenToday(): string {
  const [day, id] = (storage()?.getItem(chosen) ?? "").split(" ");
  return day === dayOf(Date.now()) ? (id ?? "") : "";
}

/** How often the laptop is tried while it is not reached, ms. */
const tryEvery = 10_000;

/** What the laptop says of the page, or said last. */
function usePage() {
  const [page, setPage] = useState<FieldPage | undefined>(knownPage);
  const [gone, setGone] = useState("");
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const read = async () => {
      clearTimeout(timer);
      try {
        const fresh = await readPage();
        rememberPage(fresh);
        setPage(fresh);
        setGone("");
      } catch (failure) {
        const closed = failure instanceof APIError && [401, 404].includes(failure.status);
        if (closed) setGone(token() ? "This link opens nothing any more: scan a new one from the laptop. What is typed stays on this phone and goes with the new link." : "Scan the link that the laptop shows, or sign in there with this phone first.");
        else if (!knownPage()) setGone("The laptop is not reached. Open this link while it is.");
        if (!closed) timer = setTimeout(read, tryEvery);
      }
    };
    const anew = () => {
      setPage(knownPage());
      void read();
    };
    void read();
    addEventListener("online", read);
    addEventListener("hashchange", anew);
    return () => {
      clearTimeout(timer);
      removeEventListener("online", read);
      removeEventListener("hashchange", anew);
    };
  }, []);
  return { page, gone };
}

/** The phone's book, sent whenever the laptop is reached. */
function useBook(): { book: Book; changed: () => void } {
  const [book] = useState(() => new Book(storage(), Date.now()));
  const [, tick] = useState(0);
  const paint = () => tick((n) => n + 1);
  const [send] = useState(() => sender(book, paint));
  useEffect(() => {
    const look = () => {
      book.look();
      paint();
      void send();
    };
    const timer = setInterval(() => void send(), tryEvery);
    look();
    addEventListener("online", look);
    addEventListener("storage", look);
    addEventListener("hashchange", look);
    document.addEventListener("visibilitychange", look);
    return () => {
      clearInterval(timer);
      removeEventListener("online", look);
      removeEventListener("storage", look);
      removeEventListener("hashchange", look);
      document.removeEventListener("visibilitychange", look);
    };
  }, []);
  return { book, changed: () => (paint(), void send()) };
}

/** Sends what is unsent, one after the other; what comes meanwhile goes with the next. */
function sender(book: Book, paint: () => void): () => Promise<void> {
  let busy = false;
  return async () => {
    if (busy) return;
    busy = true;
    try {
      for (let some = book.unsent(); some.length > 0; some = book.unsent()) {
        const answer = await tell(some);
        book.told(some, answer);
        paint();
        if (answer.taken.length === 0) break; // the rest is refused: it is tried again later
      }
    } catch {
      // The laptop is not reached, or the link is over; usePage says which.
    } finally {
      busy = false;
    }
  };
}

function Fence({ page, her, choose, gone }: { page: FieldPage; her: FieldPitcher; choose: (id: string) => void; gone: string }) {
  const { book, changed } = useBook();
  const [typing, setTyping] = useState<Typing>({ digits: "", pitch: "fb" });
  const [said, setSaid] = useState("");
  const today = book.of(her.id, dayOf(Date.now()));
  const last = today.at(-1);

  const type = (key: string) => setTyping((t) => press(t, key, Date.now()));
  const keep = (call: Call) => {
    const now = Date.now();
    const { next, value, ...entry } = finish(typing, call, now);
    book.keep({ id: newName(), link: token(), sent: false, pitcherId: her.id, day: dayOf(now), revision: 1, ...entry, ...(value === undefined ? {} : { value, unit: her.unit }) });
    setTyping(next);
    setSaid(`Rep ${today.length + 1} is kept.`);
    changed();
  };
  const undo = () => {
    const e = last && book.undo(last.id);
    if (!e) return;
    setTyping({ digits: e.value === undefined ? "" : String(e.value), pitch: e.pitch, ...(e.value === undefined ? {} : { begun: e.at / 1000 }) });
    setSaid(`Rep ${today.length} is taken back.`);
    changed();
  };

  useEffect(() => {
    const pressed = (event: KeyboardEvent) => {
      const at = event.target instanceof Element ? event.target : undefined;
      if (event.ctrlKey || event.metaKey || event.altKey || at?.closest("select, input")) return;
      const code = page.pitchTypes.find((t) => t.key === event.key)?.code;
      if (/^[0-9.]$/.test(event.key)) type(event.key);
      else if (event.key === ",") type(".");
      else if (event.key === "Backspace") type("back");
      else if (code) setTyping((t) => ({ ...t, pitch: code }));
      else if (event.key === "Enter" && !at?.closest("button, summary")) keep("");
      else return;
      event.preventDefault();
    };
    addEventListener("keydown", pressed);
    return () => removeEventListener("keydown", pressed);
  });

  return (
    <main class="fence">
      <h1 class="sr-only">At the field</h1>
      <header>
        {page.pitchers.length === 1
          ? <b class="whose">{her.label}</b>
          : <select class="input whose" aria-label="Pitcher" value={her.id} onChange={(e) => choose(e.currentTarget.value)}>{page.pitchers.map((p) => <option key={p.id} value={p.id}>{p.label}</option>)}</select>}
        <Sent book={book} />
      </header>
      <p class="readout">
        <span class="of-rep">Rep {today.length + 1}</span>
        <output aria-label="Reading">{typing.digits || "–"}</output>
        <span class="unit">{her.unit}</span>
      </p>
      <Pitches types={page.pitchTypes} pitch={typing.pitch} pick={(pitch) => setTyping((t) => ({ ...t, pitch }))} />
      <div class="digits" role="group" aria-label="Reading">
        {["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0"].map((key) => <button key={key} type="button" class="button" onClick={() => type(key)}>{key}</button>)}
        <button type="button" class="button" aria-label="Delete the last digit" onClick={() => type("back")}>⌫</button>
      </div>
      <div class="calls" role="group" aria-label="Call, and on to the next rep">
        <button type="button" class="button call" onClick={() => keep("strike")}>Strike</button>
        <button type="button" class="button call" onClick={() => keep("ball")}>Ball</button>
        <button type="button" class="button" onClick={() => keep("")}>No call</button>
      </div>
      <p class="last">
        <span>{last ? `Rep ${today.length}: ${entryText(last, page.pitchTypes)}` : "A reading, the pitch if it is another one, then the call: that keeps the rep."}</span>
        {last && <button type="button" class="button" onClick={undo}>Undo</button>}
      </p>
      {gone && <p class="notice alarm" role="alert">{gone}</p>}
      <Refused book={book} types={page.pitchTypes} changed={changed} />
      <Today today={today} her={her} types={page.pitchTypes} />
      <Keeping book={book} begun={last !== undefined} />
      <p class="sr-only" role="status">{said}</p>
    </main>
  );
}

/** Fastball and change-up under the thumb, the others behind a third key. */
function Pitches({ types, pitch, pick }: { types: readonly PitchType[]; pitch: Pitch; pick: (pitch: Pitch) => void }) {
  const [open, setOpen] = useState(false);
  const first = types.slice(0, 2);
  const others = types.slice(2);
  const other = others.find((t) => t.code === pitch);
  const key = (t: PitchType) => (
    <button key={t.code} type="button" class="button" aria-pressed={pitch === t.code} onClick={() => (setOpen(false), pick(t.code))}>{capital(t.name)}</button>
  );
  return (
    <div class="pitches" role="group" aria-label="Pitch">
      {first.map(key)}
      <button type="button" class="button" aria-pressed={other !== undefined} aria-expanded={open} onClick={() => setOpen(!open)}>{other ? capital(other.name) : "Other"}</button>
      {open && others.map(key)}
    </div>
  );
}

/** Whether the laptop has it all. */
function Sent({ book }: { book: Book }) {
  const n = book.waiting;
  return <p class="sent" role="status">{n > 0 ? `${n} on this phone only` : book.all().length > 0 ? "All sent" : ""}</p>;
}

/** What the laptop refused: readings, and taking one back that it has settled already. */
function Refused({ book, types, changed }: { book: Book; types: readonly PitchType[]; changed: () => void }) {
  const { readings, takenBack } = book.refused;
  return (
    <>
      {readings.length > 0 && <p class="notice alarm" role="alert">{readings.length === 1 ? "One reading is not taken" : `${readings.length} readings are not taken`}: {readings[0]!.refused}</p>}
      {takenBack.map((e) => (
        <div key={e.id} class="notice alarm" role="alert">
          <p>You took back {lineText(e, types)}; the laptop did not take that back: {e.refused}</p>
          <button type="button" class="button" onClick={() => (book.stand(e.id), changed())}>Leave it there</button>
        </div>
      ))}
    </>
  );
}

function Today({ today, her, types }: { today: readonly Kept[]; her: FieldPitcher; types: readonly PitchType[] }) {
  if (today.length === 0) return null;
  return (
    <details>
      <summary>All {today.length} of {her.label} today</summary>
      <ol class="typed-today" reversed>
        {[...today].reverse().map((e, i) => <li key={e.id} value={today.length - i}>{lineText(e, types)}{!e.sent && <span class="quiet">, not sent yet</span>}</li>)}
      </ol>
    </details>
  );
}

/** What the phone can keep, in one sentence; what is well is not said again once she has begun. */
function Keeping({ book, begun }: { book: Book; begun: boolean }) {
  const [kept, setKept] = useState<boolean>();
  useEffect(() => void keepPage().then(setKept), []);
  if (book.fleeting) return <p class="notice alarm">This phone keeps nothing for this page: leave it open until all is sent.</p>;
  if (kept === undefined || (kept && begun)) return null;
  return <p class="quiet">{kept ? "This page opens here without the laptop too." : "The line to the laptop is not encrypted, so this phone can’t open the page again without it: leave the page open. What you type is kept either way."}</p>;
}

function entryText(e: Kept, types: readonly PitchType[]): string {
  const read = e.value === undefined ? "no reading" : `${e.value} ${e.unit}`;
  return [read, types.find((t) => t.code === e.pitch)?.name ?? e.pitch, e.call].filter(Boolean).join(", ");
}

/** The same with its time of day. */
const lineText = (e: Kept, types: readonly PitchType[]): string => `${entryText(e, types)}, ${new Date(e.at / 1000).toLocaleTimeString("en-GB")}`;

/** With a capital, and a hyphen that no line breaks at. */
const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1).replaceAll("-", "\u2011");
