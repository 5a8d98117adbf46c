/**
 * The screen kept awake while a block is sewn. Browsers have a lock for that, which they give to
 * encrypted pages and to those of the device itself alone (W3C, Screen Wake Lock API). Elsewhere some
 * keep a screen awake while a video plays that is seen; whether this one does, no page can tell, and
 * so that is said.
 */

const CURE = "This device may let its screen go dark: a page that isn't encrypted can't forbid it for certain. "
  + "If it does, set a longer time under Display in the device's settings.";
const FRAME = 1000;

let lock = null;
let video = null;
let wanted = false;
let timer = 0;

/**
 * Keep the screen awake as well as it goes.
 * @param {HTMLElement} room in which a video may be seen
 * @returns {Promise<string>} what to tell of it; nothing where it surely stays awake
 */
export async function stayAwake(room) {
  wanted = true;
  if (await locked()) return "";
  await play(room);
  return CURE;
}

/** Let the screen go dark again. */
export function sleep() {
  wanted = false;
  lock?.release().catch(() => {});
  lock = null;
  clearInterval(timer);
  video?.remove();
  video = null;
}

async function locked() {
  if (!navigator.wakeLock) return false;
  try {
    lock = await navigator.wakeLock.request("screen");
    return true;
  } catch {
    return false;
  }
}

/** A silent video behind the block, drawn by the page itself, one picture a second. */
async function play(room) {
  if (video || !HTMLCanvasElement.prototype.captureStream) return;
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 16;
  const pen = canvas.getContext("2d");
  const draw = () => {
    pen.fillStyle = getComputedStyle(room).backgroundColor;
    pen.fillRect(0, 0, 16, 16);
  };
  draw();
  video = document.createElement("video");
  Object.assign(video, { muted: true, playsInline: true, srcObject: canvas.captureStream(1), className: "awake", tabIndex: -1 });
  video.setAttribute("aria-hidden", "true");
  room.prepend(video);
  timer = setInterval(draw, FRAME);
  await video.play().catch(() => {});
}

document.addEventListener("visibilitychange", () => {
  if (!wanted || document.hidden) return;
  if (navigator.wakeLock) locked();
  else video?.play().catch(() => {});
});
