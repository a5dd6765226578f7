// The reply to a homework, written in the film room: words, clips and side by sides,
// frames that were drawn on, the next workout. Kept while it is written; the student
// sees it when it is sent.
import { useEffect, useRef, useState } from "preact/hooks";
import { APIError, ask, sentenceOf } from "../api/client";
import type { Clip, DrawingRef, Homework, Workout } from "../api/types";
import { useOffice } from "./office";
import { useWatched } from "./watch";
import { CopyButton } from "../parts/copy-button";
import { useNarrow } from "../parts/use-narrow";
import { Link } from "../shell/router";
import { to } from "../shell/routes";
import { clipName } from "../words/clip";
import { momentDayText } from "../words/size";
import { HerWords } from "../homework/her-words";
import { StillAsked, unsettled } from "./still-asked";
import { movedText, sendText } from "../homework/said";
import { useHomework } from "../homework/screen";

/** How long writing rests before the draft is kept, in ms. */
const rest = 700;

export function ReplyPanel() {
  const office = useOffice();
  const id = useWatched(office.changes, () => office.sheet.plan?.homeworkId);
  const { homework, problem, setHomework } = useHomework(id);
  if (!id) return null;
  if (!homework) return problem ? <p class="notice alarm" role="alert">{problem}</p> : null;
  return <Reply key={id} homework={homework} onSent={setHomework} />;
}

/** A clip goes with a reply only while it shows what is true. */
function MakeAgain({ clip }: { clip: Clip }) {
  const office = useOffice();
  const [off, fast] = clip.repIds;
  return (
    <div class="of-pick">
      <p class="quiet">Something it shows has changed since it was made.</p>
      {clip.kind === "pair" ? off && <Link class="button" to={to.sideBySide(off, fast)}>Make it again</Link> : off && <button type="button" class="button" onClick={() => office.makeClips([off])}>Make it again</button>}
    </div>
  );
}

const sameFrame = (a: DrawingRef) => (b: DrawingRef) => a.repId === b.repId && a.frame === b.frame;

function Reply({ homework: first, onSent }: { homework: Homework; onSent: (homework: Homework) => void }) {
  const office = useOffice();
  const narrow = useNarrow();
  const version = useRef(first.version);
  const draftSeen = useRef(JSON.stringify(first.draft));
  const [words, setWords] = useState(first.draft.words);
  const [clipIds, setClipIds] = useState(first.draft.clipIds);
  const [drawings, setDrawings] = useState(first.draft.drawings);
  const [next, setNext] = useState(first.draft.next ? "kept" : "");
  const [workouts, setWorkouts] = useState<Workout[]>([]);
  const [kept, setKept] = useState("");
  const [problem, setProblem] = useState("");
  const [sent, setSent] = useState(first.sent?.sentAt ?? 0);
  const [shareText, setShareText] = useState("");
  const [busy, setBusy] = useState(false);
  const fresh = useRef(true);
  const saving = useRef<Promise<boolean>>(Promise.resolve(true));
  const clips = useWatched(office.changes, () => office.sheet.clips);
  const drawn = useWatched(office.changes, () => office.ledger.rows().flatMap(({ rep }) => office.board.of(rep.id).map((d) => `${rep.order} ${rep.id} ${d.frame}`)).join("\n"));

  const asked = useWatched(office.changes, () => unsettled(office.ledger.rows()));

  useEffect(() => {
    ask("get", "/api/workouts").then((all) => setWorkouts(all.workouts), () => {});
    // Looking again at what is answered does not open it anew.
    if (first.state !== "answered") void ask("post", "/api/homework/{id}/review", { path: { id: first.id } }).then((h) => (version.current = h.version), () => {});
    void office.board.loadAll(office.sheet.reps.filter((r) => r.filmId).map((r) => r.id));
  }, []);

  const keep = (): Promise<boolean> => {
    saving.current = saving.current.then(async () => {
      const write = async () => {
        const body = {
          version: version.current, words, clipIds, drawings,
          ...(next === "" ? { noNext: true } : next === "kept" ? {} : { nextWorkoutId: next }),
        };
        const { version: now, draft } = await ask("put", "/api/homework/{id}/reply", { path: { id: first.id }, body });
        version.current = now;
        draftSeen.current = JSON.stringify(draft);
      };
      try {
        try {
          await write();
        } catch (failure) {
          // A film or a note that came meanwhile is no clash; another window's draft is.
          if (!(failure instanceof APIError) || failure.status !== 409) throw failure;
          const now = await ask("get", "/api/homework/{id}", { path: { id: first.id } });
          if (JSON.stringify(now.draft) !== draftSeen.current) throw failure;
          version.current = now.version;
          await write();
        }
        setKept("Kept; she does not see it yet.");
        setProblem("");
        return true;
      } catch (failure) {
        setProblem(sentenceOf(failure));
        return false;
      }
    });
    return saving.current;
  };
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  useEffect(() => {
    if (fresh.current) {
      fresh.current = false;
      return;
    }
    setKept("");
    timer.current = setTimeout(() => void keep(), rest);
    return () => clearTimeout(timer.current);
  }, [words, clipIds, drawings, next]);

  const send = async () => {
    clearTimeout(timer.current);
    setBusy(true);
    try {
      if (!(await keep())) return;
      const answered = await ask("post", "/api/homework/{id}/send", { path: { id: first.id }, body: { version: version.current, ...(first.cameAt ? { seen: first.cameAt } : {}) } });
      version.current = answered.homework.version;
      setSent(answered.homework.sent?.sentAt ?? 0);
      onSent(answered.homework);
      setShareText(answered.shareText);
      setKept("");
    } catch (failure) {
      setProblem(sentenceOf(failure));
    } finally {
      setBusy(false);
    }
  };

  const ready = clips.filter((c) => c.state === "ready");
  const frames = drawn === "" ? [] : drawn.split("\n").map((line) => {
    const [order, repId, frame] = line.split(" ");
    return { order: Number(order), repId: repId!, frame: Number(frame) };
  });
  const reply = (
    <div class="reply-parts">
      <label class="field"><span>Words</span><textarea class="input" data-reply rows={4} maxLength={8000} value={words} onInput={(e) => setWords(e.currentTarget.value)} /></label>
      {ready.length > 0 ? (
        <fieldset class="fieldset">
          <legend>Clips that go with it</legend>
          <ul class="picks">
            {ready.map((c) => (
              <li key={c.id}><label><input type="checkbox" checked={clipIds.includes(c.id)} onChange={(e) => setClipIds(e.currentTarget.checked ? [...clipIds, c.id] : clipIds.filter((id) => id !== c.id))} /> {clipName(c, office.sheet)}</label>{c.stale && clipIds.includes(c.id) && <MakeAgain clip={c} />}</li>
            ))}
          </ul>
        </fieldset>
      ) : <p class="quiet">Make clips with C, then choose here which of them go with the reply.</p>}
      {frames.length > 0 && (
        <fieldset class="fieldset">
          <legend>Frames you drew on</legend>
          <ul class="picks">
            {frames.map((f) => (
              <li key={`${f.repId} ${f.frame}`}><label><input type="checkbox" checked={drawings.some(sameFrame(f))} onChange={(e) => setDrawings(e.currentTarget.checked ? [...drawings, { repId: f.repId, frame: f.frame }] : drawings.filter((d) => !sameFrame(f)(d)))} /> Rep {f.order}, frame {f.frame}</label></li>
            ))}
          </ul>
        </fieldset>
      )}
      <label class="field">
        <span>Next workout</span>
        <select class="input" value={next} onChange={(e) => setNext(e.currentTarget.value)}>
          <option value="">none</option>
          {first.draft.next && <option value="kept">{first.draft.next.title} (as chosen before)</option>}
          {workouts.map((w) => <option key={w.id} value={w.id}>{w.title}</option>)}
        </select>
      </label>
      {problem && <p class="notice alarm" role="alert">{problem}</p>}
      {first.moved && <p class="notice">{movedText}</p>}
      <StillAsked rows={asked} />
      <div class="row">
        <button type="button" class={asked.length > 0 ? "button" : "button primary"} disabled={busy} onClick={() => void send()}>{sendText(asked.length, sent !== 0)}</button>
        <p class="quiet" role="status">{kept || (sent ? `Sent ${momentDayText(sent)}: it is on her page.` : "")}</p>
      </div>
      {shareText && (
        <div class="notice sent">
          <p>{shareText}</p>
          <div><CopyButton text={shareText}>Copy this message</CopyButton></div>
        </div>
      )}
    </div>
  );
  return (
    <section class="reply-panel" aria-label="Reply">
      <div class="row"><h2>Reply</h2><Link to={to.homework(first.id)}>Her homework</Link></div>
      {(first.note || first.earlier) && <HerWords note={first.note ?? ""} earlier={first.earlier} sore={first.sore} caution={first.caution} of={first.pitcherLabel} />}
      {narrow ? <details class="depth"><summary>Words, clips and what comes next</summary>{reply}</details> : reply}
    </section>
  );
}
