// Keeps the shell on the phone, and notices when a newer one is there.

export async function keepUpdated(app) {
  if (!navigator.serviceWorker) {
    app.tell("This browser cannot open this page without signal. Everything else works.");
    return;
  }
  await navigator.serviceWorker.register("/phone/sw.js", { scope: "/phone/", updateViaCache: "none" });
}
