// What she wrote, in her own words. Words about pain carry the caution beside them.
interface Props {
  note: string;
  /** What she wrote about pain before that, if it is not answered yet. */
  earlier?: string | undefined;
  sore: boolean;
  /** Stands beside words about pain; missing where there is no room for it. */
  caution?: string | undefined;
  /** Who is quoted, where that does not stand above already. */
  of?: string;
}

export function HerWords({ note, earlier, sore, caution, of }: Props) {
  return (
    <blockquote class={`her-words${sore ? " sore" : ""}`}>
      {sore && <p class="sore-mark"><svg viewBox="0 0 20 20" aria-hidden="true"><path d="M10 1l9.5 17h-19zM9 7v5h2V7zM9 14v2h2v-2z" fill-rule="evenodd" /></svg>Words about pain</p>}
      {earlier && <p class="pre">“{earlier}”</p>}
      {earlier && <p class="quiet">{note ? "After that she wrote:" : "She has rubbed that out since."}</p>}
      {note && <p class="pre">“{note}”</p>}
      {of && <footer>{of}</footer>}
      {sore && caution && <p class="caution-beside">{caution}</p>}
    </blockquote>
  );
}
