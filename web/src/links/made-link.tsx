// A link that was just made: it is shown this once.
import type { MadeLink as Made } from "../api/types";
import { CopyButton } from "../parts/copy-button";

/** warning says what whoever has the link can do with it; copied: the message lies on the clipboard. */
export function MadeLink({ made, warning, qrName, copied = false }: { made: Made; warning: string; qrName: string; copied?: boolean }) {
  return (
    <div class="made-link">
      <p role="status"><b>{copied ? "The message with it is copied: paste it into a message to her. It is shown this once." : "Copy it now: it is shown this once."}</b> {warning}</p>
      {made.hint && <p class="notice">{made.hint}</p>}
      <img class="qr" src={made.qrSvg} alt="The link as a QR code, for her phone’s camera" width="260" height="260" />
      <label class="field"><span>Link</span><input class="input" data-link readOnly value={made.link} onFocus={(e) => e.currentTarget.select()} /></label>
      <label class="field"><span>Message to send along</span><textarea class="input" rows={4} readOnly value={made.shareText} /></label>
      <div class="row">
        <CopyButton text={made.link}>Copy the link</CopyButton>
        <CopyButton text={made.shareText}>Copy the message</CopyButton>
        <a class="button" href={made.qrPng} download={qrName}>Save the QR code</a>
      </div>
    </div>
  );
}
