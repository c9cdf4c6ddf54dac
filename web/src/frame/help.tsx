// SPDX-License-Identifier: Apache-2.0
import { keyTable } from "../state/keys";
import { setSingleKeys, singleKeys } from "../state/store";

const kGroups = ["Anywhere", "The picture", "Measuring"] as const;

export function Help() {
  return (
    <div class="help">
      <h2>Keys</h2>
      <label class="tick"><input type="checkbox" checked={singleKeys.value} onChange={(event) => setSingleKeys(event.currentTarget.checked)} /> Single letters act as keys</label>
      {kGroups.map((group) => (
        <section key={group}>
          <h3>{group}</h3>
          <dl class="keys">
            {keyTable.filter((row) => row.group === group).map((row) => (
              <div key={row.shown + row.words}><dt><kbd>{row.shown}</kbd></dt><dd>{row.words}</dd></div>
            ))}
          </dl>
        </section>
      ))}
      <section>
        <h3>Mouse and touch</h3>
        <dl class="keys">
          <div><dt>wheel</dt><dd>frames one by one</dd></div>
          <div><dt>Ctrl wheel, pinch</dt><dd>nearer or farther</dd></div>
          <div><dt>right drag</dt><dd>grey window: across is contrast, down is darker</dd></div>
          <div><dt>drag a point</dt><dd>move it; with arrow keys by 1 pixel, with Shift by 10; Delete takes it away</dd></div>
        </dl>
      </section>
      <p class="small"><a class="quiet-link" href="/licences.txt" target="_blank">Licences of the libraries in this page</a></p>
    </div>
  );
}
