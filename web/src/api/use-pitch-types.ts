// The pitch types an academy has, for whatever shows or asks for a pitch.
import { useEffect, useState } from "preact/hooks";
import { ask } from "./client";
import type { PitchType } from "./types";

/** The pitch types; none until the server has answered. */
export function usePitchTypes(): PitchType[] {
  const [types, setTypes] = useState<PitchType[]>([]);
  useEffect(() => {
    ask("get", "/api/pitch-types").then((all) => setTypes(all.pitchTypes), () => {});
  }, []);
  return types;
}
