// A loupe over the picture: what lies under the pointer, four times as large as it is
// shown, of the very frame that is painted.
import { useLayoutEffect, useRef } from "preact/hooks";
import { seen } from "./core/lens";
import { useOffice } from "./office";
import { useWatched } from "./watch";

const size = 220;
const times = 4;

export function Loupe() {
  const office = useOffice();
  const open = useWatched(office.onShow, () => office.view.loupe);
  return open ? <OpenLoupe /> : null;
}

function OpenLoupe() {
  const office = useOffice();
  const canvas = useRef<HTMLCanvasElement>(null);
  const frame = useWatched(office.onShow, () => (office.room.state.painted ? office.room.state.frame : -1));
  const lens = useWatched(office.onShow, () => office.view.lens);
  const under = useWatched(office.onShow, () => office.view.under);
  useLayoutEffect(() => {
    const { video } = office.projector;
    const to = canvas.current, place = to?.parentElement;
    const g = to?.getContext("2d");
    if (!to || !g || !place || video.videoWidth === 0 || frame < 0) return;
    const sharp = devicePixelRatio || 1;
    to.width = to.height = Math.round(size * sharp);
    const part = seen(lens);
    // So many pixels of the film are one of the page's.
    const scale = (part.width * video.videoWidth) / place.clientWidth;
    const side = (size / times) * scale;
    g.imageSmoothingQuality = "high";
    g.drawImage(video, under.x * video.videoWidth - side / 2, under.y * video.videoHeight - side / 2, side, side, 0, 0, to.width, to.height);
    const x = ((under.x - part.x) / part.width) * place.clientWidth, y = ((under.y - part.y) / part.height) * place.clientHeight;
    const inside = (v: number, most: number) => Math.min(Math.max(v - size / 2, -size / 4), most - (3 * size) / 4);
    to.style.left = `${inside(x, place.clientWidth)}px`;
    to.style.top = `${inside(y, place.clientHeight)}px`;
  }, [frame, lens, under]);
  return <canvas ref={canvas} class="loupe" aria-hidden="true" style={{ width: `${size}px`, height: `${size}px` }} />;
}
