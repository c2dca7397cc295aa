// Entries that wait on this device, in IndexedDB: they outlive the page and the browser.
const NAME = "sourloam", STORE = "entries";

// Some browsers and windows keep nothing; there forms post as they would without script.
export const canKeep = Boolean(globalThis.indexedDB);

function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "id" });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

async function work(mode, act) {
  const base = await open();
  try {
    return await new Promise((resolve, reject) => {
      const turn = base.transaction(STORE, mode, { durability: "strict" });
      const request = act(turn.objectStore(STORE));
      turn.oncomplete = () => resolve(request.result);
      turn.onabort = turn.onerror = () => reject(turn.error);
    });
  } finally {
    base.close();
  }
}

export const put = (item) => work("readwrite", (store) => store.put(item));
export const drop = (id) => work("readwrite", (store) => store.delete(id));
export const get = (id) => work("readonly", (store) => store.get(id));
export async function all() {
  let items;
  try { items = await work("readonly", (store) => store.getAll()); }
  catch { return []; } // nothing can be kept here, so nothing waits
  return items.sort((a, b) => a.entry.written_at.localeCompare(b.entry.written_at));
}
