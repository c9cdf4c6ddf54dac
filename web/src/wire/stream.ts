// SPDX-License-Identifier: Apache-2.0
// News from the engine. One event stream a browser: the tab that holds the lock reads it and passes the news on to the
// others. After five seconds without a beat the figures on the page may be old, and the link says so.
import { beatEvent, caseEvent, marksEvent } from "./shapes";

export type Link =
  | { readonly kind: "starting" }
  | { readonly kind: "live" }
  | { readonly kind: "frozen"; readonly since: number };

export const kSilenceMs = 5000;

export function linkAt(lastHeard: number | null, now: number): Link {
  if (lastHeard === null) return { kind: "starting" };
  return now - lastHeard > kSilenceMs ? { kind: "frozen", since: lastHeard } : { kind: "live" };
}

type News = { readonly kind: "beat"; readonly now: number } | { readonly kind: "opened" } | { readonly kind: "case"; readonly id: string; readonly seq: number; readonly said: boolean }
  | { readonly kind: "marks"; readonly image: string; readonly version: number };
type Letter = News | { readonly kind: "follow"; readonly id: string };

const kMostFollowed = 32; // the engine takes 64; the oldest is let go

// How far the engine's clock is ahead of this one, from the latest beats: a beat can only come late, so that the greatest
// difference is the truest.
export function aheadOf(before: readonly number[], engineNow: number, now: number): readonly number[] {
  return Number.isFinite(engineNow) ? [...before, engineNow - now].slice(-8) : before;
}

export interface Stream {
  follow(caseId: string): void; // of a case that is known to be there: the engine refuses a stream with an unknown one
  dispose(): void;
}

export interface StreamEars {
  heard(engineNow: number | null): void; // the engine's clock, when it said so
  opened(): void; // a stream was opened anew: something may have been missed
  changed(caseId: string, seq: number, said: boolean): void; // said: what the board said at an entry was kept; no board changes by it
  marked(image: string, version: number): void; // somebody set marks on a run
}

export function openStream(ears: StreamEars): Stream {
  const stop = new AbortController();
  const channel = new BroadcastChannel("fairlead-news");
  const followed = new Set<string>();
  let mine = "";
  let source: EventSource | null = null;
  let leading = false;

  const take = (news: News) => {
    ears.heard(news.kind === "beat" ? news.now : null);
    if (news.kind === "opened") ears.opened();
    if (news.kind === "case") ears.changed(news.id, news.seq, news.said);
    if (news.kind === "marks") ears.marked(news.image, news.version);
  };
  const tell = (news: News) => {
    take(news);
    channel.postMessage(news);
  };
  const keep = (id: string): boolean => {
    const fresh = !followed.has(id);
    followed.delete(id);
    followed.add(id);
    for (const oldest of followed) if (followed.size > kMostFollowed) followed.delete(oldest);
    return fresh;
  };
  const connect = () => {
    source?.close();
    const query = [...followed].map((id) => `case=${encodeURIComponent(id)}`).join("&");
    source = new EventSource(`/api/events${query === "" ? "" : `?${query}`}`);
    source.addEventListener("open", () => tell({ kind: "opened" }));
    source.addEventListener("beat", (event) => tell({ kind: "beat", now: Date.parse(beatEvent(JSON.parse(event.data), "beat").now) }));
    for (const name of ["case", "said"]) {
      source.addEventListener(name, (event) => {
        const news = caseEvent(JSON.parse((event as MessageEvent<string>).data), "event");
        tell({ kind: "case", id: news.case, seq: news.seq, said: name === "said" });
      });
    }
    source.addEventListener("marks", (event) => tell({ kind: "marks", ...marksEvent(JSON.parse(event.data), "event") }));
  };
  // A browser stops trying after some failures (a refused connection closes the source for good): try again here.
  const watch = setInterval(() => {
    if (leading && source?.readyState === EventSource.CLOSED) connect();
  }, 2000);

  channel.onmessage = (event: MessageEvent<Letter>) => {
    const letter = event.data;
    if (letter.kind !== "follow") take(letter);
    else if (keep(letter.id) && leading) connect(); // kept by every tab: whichever leads next knows them
  };
  void navigator.locks
    .request("fairlead-stream", { signal: stop.signal }, () => {
      leading = true;
      connect();
      return new Promise<void>((release) => stop.signal.addEventListener("abort", () => release()));
    })
    .catch(() => undefined); // aborted by dispose
  return {
    follow(caseId) {
      if (caseId === mine) return;
      mine = caseId;
      const fresh = keep(caseId);
      if (!leading) channel.postMessage({ kind: "follow", id: caseId });
      else if (fresh) connect();
    },
    dispose() {
      stop.abort();
      clearInterval(watch);
      source?.close();
      channel.close();
    },
  };
}
