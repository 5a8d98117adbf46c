/** Photos that are to be added, kept in the browser until the server has them, over a reload too. */

const NAME = "calicount photos";
const SHELF = "photos";
let opened = null;

function shelf() {
  opened ??= new Promise((go, fail) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(SHELF, { keyPath: "id" });
    asked.onsuccess = () => go(asked.result);
    asked.onerror = () => fail(asked.error);
  });
  return opened;
}

async function does(mode, work) {
  const held = await shelf();
  return new Promise((go, fail) => {
    const all = held.transaction(SHELF, mode);
    const asked = work(all.objectStore(SHELF));
    all.oncomplete = () => go(asked?.result);
    all.onabort = () => fail(all.error);
  });
}

/** Keep a photo. @returns {Promise<boolean>} whether the browser has room for it */
export async function keep(photo) {
  try {
    await does("readwrite", (all) => all.put(photo));
    return true;
  } catch {
    return false;
  }
}

/** Let a photo go. @param {string} id */
export async function letGo(id) {
  await does("readwrite", (all) => all.delete(id)).catch(() => {});
}

/** All that are kept, the first first. @returns {Promise<any[]>} */
export async function kept() {
  try {
    return (await does("readonly", (all) => all.getAll())).sort((a, b) => a.at - b.at);
  } catch {
    return [];
  }
}

/** What a photo is known by: its digest, or a number by chance where the browser makes none. @param {Blob} file */
export async function keyOf(file) {
  const digest = crypto.subtle ? new Uint8Array(await crypto.subtle.digest("SHA-256", await file.arrayBuffer()))
    : crypto.getRandomValues(new Uint8Array(32));
  const hex = [...digest].map((one) => one.toString(16).padStart(2, "0")).join("");
  return `${crypto.subtle ? "sha256" : "random"}-${hex}`;
}
