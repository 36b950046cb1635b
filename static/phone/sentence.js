// What a fault says, as one sentence of a longer message: with one stop at its end, whoever wrote it.

export function sentence(fault) {
  const text = String(fault.message ?? fault).trim().replace(/\.+$/, "");
  return `${text}.`;
}
