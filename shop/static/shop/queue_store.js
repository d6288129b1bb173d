// Two lists in the phone's own storage: what is still to send, and what the server refused, with why. Nothing leaves either unseen.
const QUEUE = "loom-queue";
const ASIDE = "loom-aside";

function read(name) {
  try {
    return JSON.parse(localStorage.getItem(name) ?? "[]");
  } catch {
    return [];
  }
}

function write(name, list) {
  try {
    localStorage.setItem(name, JSON.stringify(list));
    return true;
  } catch {
    return false; // full, or closed to us
  }
}

export const load = (user) => read(QUEUE).filter((item) => item.user === user);
export const aside = (user) => read(ASIDE).filter((item) => item.user === user);
export const keep = (item) => write(QUEUE, [...read(QUEUE), item]);
export const drop = (key) => write(QUEUE, read(QUEUE).filter((item) => item.key !== key));
export const forget = (key) => write(ASIDE, read(ASIDE).filter((item) => item.key !== key));

export function setAside(item, why) {
  const told = { key: item.key, user: item.user, words: item.words, made: item.made, why, fields: item.fields };
  write(ASIDE, [...read(ASIDE).filter((one) => one.key !== item.key), told]);
}
