// SPDX-License-Identifier: Apache-2.0
// Coming in from another computer of the lab: a name and a password. The address stays: whoever has come in stands
// where the page was.
import { useEffect, useRef, useState } from "preact/hooks";
import { logIn } from "../wire/engine";
import { sentence, setWriter } from "../state/store";

export function Login() {
  const [name, setName] = useState("");
  const [password, setPassword] = useState("");
  const [said, setSaid] = useState("");
  const [busy, setBusy] = useState(false);
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => { if (said !== "" && !busy) field.current?.focus(); }, [said, busy]);
  const send = async () => {
    setBusy(true);
    try {
      const { person } = await logIn(name.trim(), password);
      setWriter(person.name.slice(0, 12));
      location.reload();
    } catch (error) {
      setSaid(sentence(error));
      setPassword("");
      setBusy(false);
    }
  };
  return (
    <main class="login">
      <form aria-label="Log in" onSubmit={(event) => { event.preventDefault(); void send(); }}>
        <h1>Fairlead</h1>
        <label>Name<input name="username" autocomplete="username" autocapitalize="none" spellcheck={false} maxLength={40} value={name} onInput={(event) => setName(event.currentTarget.value)} required /></label>
        <label>Password<input ref={field} name="password" type="password" autocomplete="current-password" maxLength={400} value={password} onInput={(event) => setPassword(event.currentTarget.value)} required /></label>
        <button type="submit" class="main" disabled={busy}>Log in</button>
        <p role="alert" class="warn">{said}</p>
        <p class="small dim">The administrator of this lab adds people with <code>fairlead people add</code>.</p>
      </form>
      <p class="small dim">Decision support for trained operators. Not a medical device. Local protocol and the responsible physician decide.</p>
    </main>
  );
}
