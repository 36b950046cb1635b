// Where answers are judged.

import { account, api, Unreachable } from "./api.js";

export async function ask(wish) {
  let { status, told } = await api("judge", { method: "POST", body: JSON.stringify(wish) });
  if (status === 403) {
    await account();
    ({ status, told } = await api("judge", { method: "POST", body: JSON.stringify(wish) }));
  }
  if (status !== 200) throw new Unreachable(told.error ?? `the server said ${status}`);
  return told;
}

export function start() {}

export function state() {
  return { way: "server", loading: null, fault: "" };
}

export function onState() {}
