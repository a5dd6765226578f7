// The mark on a reading that something speaks against, the same in every ledger.

/** "sure?", with what is asked (askedOf) to be read on it; nothing where nothing is. */
export function SureMark({ asked }: { asked: string }) {
  return asked === "" ? null : <span class="sure-mark" title={asked}>sure?</span>;
}
