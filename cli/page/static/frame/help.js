/** The help: what can be done, by pointer and by key. */

import { button, el, fill } from "./dom.js";

const KEYS = [
  ["Everywhere", [
    ["Ctrl Z, Ctrl Shift Z", "undo, redo"], ["V", "value view: everything in grey"], ["?", "this help"],
  ]],
  ["Photo", [
    ["J or ↓, K or ↑", "next and previous square, the doubtful ones first"],
    ["+ and −, 0", "nearer, farther, the whole photo"], ["arrows, on the photo", "move it"],
    ["M", "draw a square that was missed: place it, then keep it with Enter"],
    ["Delete", "the chosen one is not a square"],
    ["arrows, on a corner", "move it by 1 px, with Shift by 10; Enter keeps it"], ["Escape", "let go"],
  ]],
  ["Pair", [
    ["arrows", "to the next square"], ["Enter, on a square", "pick it up; on another one: they change places"],
    ["Space, or Shift and arrows", "choose several; Ctrl A all that are shown"], ["/", "find squares"],
    ["L, A, O, on a square", "lock its set, take it apart, show partners"], ["Escape", "put it back, choose none"],
  ]],
  ["Pattern, on the block", [
    ["arrows", "to the next unit"], ["Enter", "lay the chosen unit, or paint with the chosen cloth"],
    ["R, M", "turn, mirror"], ["Delete", "a plain square"], ["Escape", "put unit and cloth down"],
  ]],
  ["Wall", [
    ["Enter, on a block, set or square", "pick it up; on another one: they change places"],
    ["arrows", "to the next one; what a move would do is told before"],
    ["R", "turn the block"], ["Space", "sewn, or not yet"],
    ["+ and −, 0", "nearer, farther, the whole quilt; also by wheel or with two fingers"],
    ["Shift and the mouse, or arrows on the quilt", "move it"],
  ]],
];

/** @param {HTMLDialogElement} dialog */
export function showHelp(dialog) {
  fill(dialog,
    el("div.dialog-head", {}, el("h2", { id: "dialog-title", text: "How it works" }), button("Close", () => dialog.close())),
    el("p", { text: "Look over the photo and put right what it got wrong. Then look at the sets, count "
      + "them for a pattern, hang them, and take the pages along. Everything is kept at once, and "
      + "everything can be undone. Your photos stay on this computer." }),
    el("p", { text: "Under More, “Phone or tablet” lets one on your own network in, by a code: it sends photos straight from "
      + "its camera, and shows beside the sewing machine what goes where. That connection is not encrypted." }),
    KEYS.map(([name, keys]) => el("section", {}, el("h3", { text: name }), el("dl.keys", {},
      ...keys.flatMap(([key, words]) => [el("dt", { text: key }), el("dd", { text: words })])))));
  dialog.showModal();
}
