// Starts a bullpen: whose it is and when it was thrown. Everything else has a
// default and can be changed later.
import { useEffect, useState } from "preact/hooks";
import { ask, sentenceOf } from "../api/client";
import type { GunPlace, PitcherCard, Unit } from "../api/types";
import { Dialog } from "../parts/dialog";
import { NewPitcherFields, nobodyYet } from "../parts/new-pitcher";

interface Props {
  /** Films that wait for it; their day is offered. */
  files: readonly File[];
  /** The pitcher to offer first. */
  pitcherId?: string;
  onMade: (bullpenId: string) => void;
  onClose: () => void;
}

export const gunPlaces: readonly GunPlace[] = ["behind catcher", "behind pitcher", "beside pitcher", "not said"];
export const units: readonly Unit[] = ["mph", "km/h"];

const someoneNew = "new";

export function NewBullpen({ files, pitcherId, onMade, onClose }: Props) {
  const [pitchers, setPitchers] = useState<PitcherCard[]>();
  const [who, setWho] = useState(pitcherId ?? "");
  const [her, setHer] = useState(nobodyYet);
  const [day, setDay] = useState(() => dayOf(files[0]));
  const [title, setTitle] = useState("");
  const [saidGun, setGun] = useState<GunPlace>();
  const [saidUnit, setUnit] = useState<Unit>();
  const [problem, setProblem] = useState("");
  const [busy, setBusy] = useState(false);

  useEffect(() => {
    ask("get", "/api/pitchers").then(
      ({ pitchers: known }) => {
        setPitchers(known);
        if (known.length === 0) setWho(someoneNew);
      },
      (failure) => setProblem(sentenceOf(failure)),
    );
  }, []);

  // A gun has its place: until it is said, as in her latest bullpen.
  const known = pitchers?.find((p) => p.id === who);
  const gun = saidGun ?? known?.gun ?? "behind catcher";
  const unit = saidUnit ?? known?.unit ?? "mph";

  const make = async (event: Event) => {
    event.preventDefault();
    if (who === "") return setProblem("Say whose bullpen it is.");
    if (who === someoneNew && her.label.trim() === "") return setProblem("Give the pitcher a nickname or initials.");
    setBusy(true);
    try {
      const whose = who === someoneNew ? { pitcherLabel: her.label.trim(), pitcherLevel: her.level } : { pitcherId: who };
      const named = title.trim() ? { title: title.trim() } : {};
      const made = await ask("post", "/api/bullpens", { body: { ...whose, ...named, ...(day ? { day } : {}), gun, unit } });
      onMade(made.id);
    } catch (failure) {
      setProblem(sentenceOf(failure));
      setBusy(false);
    }
  };

  return (
    <Dialog title={files.length > 0 ? "Whose bullpen is this?" : "New bullpen"} onClose={onClose}>
      <form class="new-bullpen" onSubmit={(event) => void make(event)}>
        {files.length > 0 && <p class="quiet">{filesSentence(files)} will be read once the bullpen is there.</p>}
        {pitchers && pitchers.length > 0 && (
          <label class="field">
            <span>Pitcher</span>
            <select class="input" data-first value={who} onChange={(e) => setWho(e.currentTarget.value)}>
              <option value="" disabled>Choose a pitcher …</option>
              {pitchers.map((p) => <option key={p.id} value={p.id}>{p.label}</option>)}
              <option value={someoneNew}>Someone new …</option>
            </select>
          </label>
        )}
        {who === someoneNew && <NewPitcherFields her={her} onChange={setHer} />}
        <label class="field">
          <span>Day it was thrown</span>
          <input class="input" type="date" value={day} onInput={(e) => setDay(e.currentTarget.value)} />
        </label>
        <label class="field">
          <span>Title, if it needs one</span>
          <input class="input" value={title} maxLength={120} autocomplete="off" onInput={(e) => setTitle(e.currentTarget.value)} />
        </label>
        <div class="pair">
          <label class="field">
            <span>Where the gun stood</span>
            <select class="input" value={gun} onChange={(e) => setGun(e.currentTarget.value as GunPlace)}>
              {gunPlaces.map((place) => <option key={place}>{place}</option>)}
            </select>
          </label>
          <label class="field">
            <span>The gun shows</span>
            <select class="input" value={unit} onChange={(e) => setUnit(e.currentTarget.value as Unit)}>
              {units.map((u) => <option key={u}>{u}</option>)}
            </select>
          </label>
        </div>
        {problem && <p class="notice alarm" role="alert">{problem}</p>}
        <footer>
          <button type="button" class="button" onClick={onClose}>Cancel</button>
          <button type="submit" class="button primary" disabled={busy || !pitchers}>Start the bullpen</button>
        </footer>
      </form>
    </Dialog>
  );
}

function dayOf(file: File | undefined): string {
  const date = file ? new Date(file.lastModified) : new Date();
  const two = (n: number) => String(n).padStart(2, "0");
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

function filesSentence(files: readonly File[]): string {
  return files.length === 1 ? `“${files[0]!.name}”` : `${files.length} films`;
}
