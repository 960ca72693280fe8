// The secret of the link: out of the address bar and out of the history. app.js imports this before
// anything else.

const fragment = location.hash.slice(1);

export const givenLink = fragment.startsWith("at-") ? fragment.slice(3) : "";
export const givenSecret = /^[\w-]{20,}$/.test(fragment) && !givenLink ? fragment : "";

if (givenSecret) history.replaceState(null, "", location.pathname);
