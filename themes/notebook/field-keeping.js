// Keeps sessions in this browser, one record a session; a change counts as kept once the disk has it.
// Where the browser refuses or is full, the change is still made, on the page alone, and a sentence says so.

const NAME = `bowbook-field ${new URL(".", location.href).pathname}`; // several books may share one host

const settled = (request) => new Promise((done, failed) => {
  request.onsuccess = () => done(request.result);
  request.onerror = () => failed(request.error);
  request.onblocked = () => failed(new Error("blocked"));
});

const REFUSED = "This browser refuses to keep anything for this page (a private window, or a setting). What you tap stays only while the page is open: take it home before you close it.";
const FULL = "This phone is full: the last tap could not be kept. It stays while this page is open. Take the session home now, then make room.";

export async function openKeeping() {
  let store = null, refusal = "";
  try {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => request.result.createObjectStore("records", { keyPath: "id" });
    store = await settled(request);
    store.onversionchange = () => store.close();
  } catch {
    refusal = REFUSED;
  }
  if (store && navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => {});

  const within = (mode, work) => new Promise((done, failed) => {
    const change = store.transaction("records", mode, { durability: "strict" });
    let result;
    work(change.objectStore("records"), (value) => { result = value; });
    change.oncomplete = () => done(result);
    change.onabort = () => failed(change.error || new Error("not kept"));
    change.onerror = (event) => event.preventDefault();
  });

  return {
    refusal,
    // Every record that is kept.
    async all() {
      if (!store) return [];
      try {
        return await within("readonly", (records, give) => {
          const request = records.getAll();
          request.onsuccess = () => give(request.result);
        });
      } catch {
        return [];
      }
    },
    // The record with `edit` done to it: to what is kept, so that a second open page loses nothing. [record, sentence]
    async change(record, edit) {
      let latest = record, sentence = refusal, edited = false;
      const once = (one) => { edit(one); edited = true; latest = one; };
      if (store) {
        try {
          await within("readwrite", (records) => {
            const request = records.get(record.id);
            request.onsuccess = () => {
              const kept = request.result;
              // Taps of a change that could not be kept are on the page alone and must not be lost to an older record.
              once(kept && !record.unkept ? kept : record);
              const { unkept, ...plain } = latest;
              const put = records.put(plain);
              put.onerror = (event) => { event.preventDefault(); put.transaction.abort(); };
            };
          });
          delete latest.unkept;
        } catch {
          sentence = FULL;
        }
      }
      if (!edited) once(record);
      if (sentence) latest.unkept = true;
      return [latest, sentence];
    },
    async forget(ids) {
      if (!store) return;
      await within("readwrite", (records) => ids.forEach((id) => records.delete(id)));
    },
  };
}
