// The secret of the link: out of the address bar and out of the history. app.js imports this before
// anything else.

const [fragment, ...rest] = location.hash.slice(1).split("&");
const more = (name) => rest.find((x) => x.startsWith(name + "="))?.slice(name.length + 1) || "";

// A secret may have the name of its studio in front, with a dot.
export const givenLink = /^at-[^.]*$/.test(fragment) ? fragment.slice(3) : "";
export const givenSecret = /^([a-z][a-z0-9-]*\.)?[\w-]{20,}$/.test(fragment) && !givenLink ? fragment : "";

// givenMarks are those that this device could not send from another address of the server. Without a secret nobody
// may bring any.
export const givenMarks = givenSecret && more("marks");

// givenBlock is where whoever gets the link works, givenAs what it is for.
export const givenBlock = givenSecret && decodeURIComponent(more("block"));
export const givenAs = more("as");

// givenLanguage is that of the page on which the day was begun.
export const givenLanguage = new URLSearchParams(location.search).get("language") ?? "";

if (givenSecret) history.replaceState(null, "", location.pathname);
