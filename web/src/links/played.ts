// A clip on a page that is read again and again: the ticket in its address is another each
// time, and a film that is being looked at goes on with the one it began with.
import { useEffect, useState } from "preact/hooks";

interface Clip {
  file: string;
  captions: string;
}

export interface Played<C extends Clip> {
  /** The clip with the addresses that are played. */
  played: C;
  /** It can't be played, with a fresh address neither. */
  problem: boolean;
  /** To be called when playing fails: the ticket may have run out. */
  failed: () => void;
}

export function usePlayed<C extends Clip>(fresh: C): Played<C> {
  const [played, play] = useState(fresh);
  const [problem, setProblem] = useState(false);
  const failed = () => (played.file === fresh.file ? setProblem(true) : play(fresh));
  useEffect(() => {
    if (!problem) return;
    play(fresh);
    setProblem(false);
  }, [fresh.file]);
  return { played, problem, failed };
}
