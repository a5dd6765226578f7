// What fills the left half of a shape: of a rep on the target whose gap is right and whose
// body can't be told.
export function HalfInk({ id }: { id: string }) {
  return (
    <defs>
      <linearGradient id={id}><stop class="ink-half" offset="0.5" /><stop class="card-half" offset="0.5" /></linearGradient>
    </defs>
  );
}
