// SPDX-License-Identifier: Apache-2.0
// The frame around a cap, four times as large, under the window of the open picture: read beside the other one.
import { useEffect, useRef } from "preact/hooks";
import { toRgba } from "../../image/painter";
import { open } from "../../state/store";
import { readFrames } from "../../wire/engine";
import type { Mark } from "./marks";

const kSide = 176; // on the page, px
const kAcross = 48; // pixels of the picture

export function CloseUp({ mark, words }: { readonly mark: Mark | undefined; readonly words: string }) {
  const host = useRef<HTMLCanvasElement>(null);
  const image = open.value?.images.find((each) => each.hash === mark?.image)?.image ?? null;
  useEffect(() => {
    if (!mark || image === null) return undefined;
    const stop = new AbortController();
    readFrames(mark.image, mark.frame, mark.frame, stop.signal).then((body) => {
      const pen = host.current?.getContext("2d");
      if (!pen || stop.signal.aborted) return;
      const whole = new OffscreenCanvas(image.columns, image.rows);
      whole.getContext("2d")?.putImageData(toRgba(image.bits === 16 ? new Uint16Array(body) : new Uint8Array(body), image, image.window, image.inverse), 0, 0);
      pen.imageSmoothingQuality = "high";
      pen.fillRect(0, 0, kSide, kSide);
      pen.drawImage(whole, mark.at.x - kAcross / 2, mark.at.y - kAcross / 2, kAcross, kAcross, 0, 0, kSide, kSide);
    }, () => { /* the picture beside it says that the engine is away */ });
    return () => stop.abort();
  }, [mark?.image, mark?.frame, mark?.at.x, mark?.at.y, image]);
  return (
    <figure class="close-up">
      <canvas ref={host} width={kSide} height={kSide} role="img" aria-label={mark ? `The ${words}, frame ${mark.frame + 1}, enlarged` : `The ${words} is not marked`} />
      <figcaption>{words}{mark ? `, frame ${mark.frame + 1}` : ": not marked"}</figcaption>
    </figure>
  );
}
