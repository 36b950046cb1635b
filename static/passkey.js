// Passkeys: shows its button only where the browser has them, asks the browser, sends what it answers.
const places = document.querySelectorAll("[data-passkey]");
const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (c) => c.charCodeAt(0));
const text = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer))).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");

function secret() {
  return document.querySelector('[name="csrf_token"]').value;
}

async function sent(path, body) {
  const answer = await fetch(path, {
    method: "POST",
    headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": secret() },
    body: JSON.stringify(body),
  });
  const said = await answer.json();
  if (!answer.ok) throw Object.assign(new Error(said.error), { unproved: answer.status === 403 });
  return said;
}

function prepared(options) {
  const listed = (all) => (all || []).map((one) => ({ ...one, id: bytes(one.id) }));
  const ready = { ...options, challenge: bytes(options.challenge) };
  if (options.user) ready.user = { ...options.user, id: bytes(options.user.id) };
  if (options.excludeCredentials) ready.excludeCredentials = listed(options.excludeCredentials);
  if (options.allowCredentials) ready.allowCredentials = listed(options.allowCredentials);
  return ready;
}

function plain(made) {
  const response = {};
  for (const name of ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"]) {
    if (made.response[name]) response[name] = text(made.response[name]);
  }
  return { id: made.id, rawId: text(made.rawId), type: made.type, response, clientExtensionResults: {} };
}

async function asked(place) {
  const present = place.querySelector("[data-present] input");
  const publicKey = prepared(await sent(place.dataset.options, present?.value ? { present: present.value } : {}));
  const call = place.dataset.passkey === "keep" ? "create" : "get";
  return plain(await navigator.credentials[call]({ publicKey }));
}

for (const place of window.PublicKeyCredential ? places : []) {
  const button = place.querySelector("button");
  const says = place.querySelector("[role=status]");
  place.hidden = false;
  button.addEventListener("click", async () => {
    button.disabled = true;
    says.textContent = "";
    try {
      const done = await sent(place.dataset.send, await asked(place));
      window.location.assign(done.to);
    } catch (failed) {
      // The browser's own refusals (closed, no key, out of time) have no words for a person.
      says.textContent = failed instanceof DOMException ? place.dataset.none : failed.message;
      button.disabled = false;
      const proof = place.querySelector("[data-present]");
      if (failed.unproved && proof) {
        // The sign-in grew old while the page stood open.
        proof.hidden = false;
        proof.querySelector("input").focus();
      }
    }
  });
}
