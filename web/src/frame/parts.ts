// SPDX-License-Identifier: Apache-2.0
// The stages that are fetched apart from the first script. A new stage, or a heavy column of one, is a line here.
import { later } from "./later";

export const appraisePart = later("Appraise", async () => (await import("../appraise/appraise")).Appraise);
export const planPart = later("Plan", async () => (await import("../plan/plan")).Plan);
export const kitPart = later("Kit", async () => (await import("../kit/kit-page")).KitPage);
export const practicePart = later("Practice", async () => (await import("../practice/practice")).Practice);
export const runPart = later("Run", async () => (await import("../run/run")).Run);
export const wallPart = later("The wall board", async () => (await import("../wall/wall")).Wall);

export const skinDrawerPart = later("Dose and skin", async () => (await import("../skin/skin-drawer")).SkinDrawer);
export const skinTilePart = later("Skin", async () => (await import("../skin/skin-tile")).SkinTile, true);
export const seenFromPart = later("Seen from where?", async () => (await import("../views/seen-from")).SeenFrom);

export const kParts = [runPart, wallPart, appraisePart, planPart, kitPart, practicePart, skinTilePart, skinDrawerPart, seenFromPart];
