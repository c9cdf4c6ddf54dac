// SPDX-License-Identifier: Apache-2.0
// Files into the case: chosen or dropped, one after another, with progress and cancel. What a file is, the engine says.
import { signal } from "@preact/signals";
import { open, refreshCase, say, sentence } from "../state/store";
import { countOf } from "../words/number";
import { sendImage, type Upload } from "../wire/engine";

export type Step =
  | { readonly kind: "waits" }
  | { readonly kind: "sending"; readonly share: number }
  | { readonly kind: "reading" }
  | { readonly kind: "done"; readonly words: string }
  | { readonly kind: "refused"; readonly why: string }
  | { readonly kind: "cancelled" };
export interface Item {
  readonly id: number;
  readonly name: string;
  readonly file: File;
  readonly step: Step;
}

export const importing = signal<readonly Item[]>([]);
let next = 1;
let running = false;
let current: { id: number; upload: Upload } | null = null;

function set(id: number, step: Step): void {
  importing.value = importing.value.map((item) => (item.id === id ? { ...item, step } : item));
}

async function send(caseId: string, item: Item): Promise<void> {
  set(item.id, { kind: "sending", share: 0 });
  const upload = sendImage(caseId, item.file, (share) => set(item.id, share < 1 ? { kind: "sending", share } : { kind: "reading" }));
  current = { id: item.id, upload };
  try {
    const { image, dose } = await upload.done;
    set(item.id, { kind: "done", words: image === null ? `dose report, ${countOf(dose?.events ?? 0, "event", "events")}` : `${image.view?.text ?? image.kind}, ${image.frames === 1 ? "still" : `${image.frames} frames`}` });
  } catch (error) {
    const cancelled = error instanceof DOMException && error.name === "AbortError";
    set(item.id, cancelled ? { kind: "cancelled" } : { kind: "refused", why: sentence(error) });
  }
  current = null;
}

async function run(caseId: string): Promise<void> {
  if (running) return;
  running = true;
  for (let item = waitingItem(); item; item = waitingItem()) {
    await send(caseId, item);
    if (open.value?.case.id === caseId) await refreshCase(caseId);
  }
  running = false;
}
const waitingItem = (): Item | undefined => importing.value.find((item) => item.step.kind === "waits");

export function addFiles(files: readonly File[]): void {
  const caseId = open.value?.case.id;
  if (caseId === undefined) return say("trouble", "No case is open: open one, then add its files");
  if (files.length === 0) return;
  importing.value = [...importing.value, ...files.map((file) => ({
    id: next++, name: file.webkitRelativePath === "" ? file.name : file.webkitRelativePath, file, step: { kind: "waits" } as const,
  }))];
  void run(caseId);
}

export function cancel(id: number): void {
  if (current?.id === id) current.upload.cancel();
  else if (importing.value.find((item) => item.id === id)?.step.kind === "waits") set(id, { kind: "cancelled" });
}
export function cancelAll(): void {
  importing.value = importing.value.map((item) => (item.step.kind === "waits" ? { ...item, step: { kind: "cancelled" } } : item));
  current?.upload.cancel();
}
export function clearImports(): void {
  importing.value = importing.value.filter((item) => item.step.kind === "sending" || item.step.kind === "reading" || item.step.kind === "waits");
}

export function chooseFiles(folder: boolean): void {
  const input = document.createElement("input");
  input.type = "file";
  input.multiple = true;
  input.webkitdirectory = folder;
  input.addEventListener("change", () => addFiles([...(input.files ?? [])]));
  input.click();
}

// A dropped folder is walked through to its files.
async function walk(entry: FileSystemEntry): Promise<File[]> {
  if (entry.isFile && entry instanceof FileSystemFileEntry) return [await new Promise<File>((good, bad) => entry.file(good, bad))];
  if (!(entry instanceof FileSystemDirectoryEntry)) return [];
  const reader = entry.createReader();
  const found: File[] = [];
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((good, bad) => reader.readEntries(good, bad));
    if (some.length === 0) return found;
    for (const each of some) found.push(...(await walk(each)));
  }
}

async function takeDrop(data: DataTransfer): Promise<void> {
  const entries = [...data.items].map((item) => item.webkitGetAsEntry()).filter((entry) => entry !== null);
  const loose = [...data.files];
  try {
    const walked = (await Promise.all(entries.map(walk))).flat();
    addFiles(walked.length > 0 ? walked : loose);
  } catch (error) {
    say("trouble", `The dropped folder cannot be read: ${sentence(error)}`);
  }
}

export function dropHere(host: HTMLElement): () => void {
  const stop = new AbortController();
  const listen = { signal: stop.signal };
  const light = (on: boolean) => host.classList.toggle("dropping", on);
  host.addEventListener("dragover", (event) => { event.preventDefault(); light(true); }, listen);
  host.addEventListener("dragleave", (event) => { if (event.relatedTarget === null) light(false); }, listen);
  host.addEventListener("drop", (event) => {
    event.preventDefault();
    light(false);
    if (event.dataTransfer) void takeDrop(event.dataTransfer);
  }, listen);
  return () => stop.abort();
}
