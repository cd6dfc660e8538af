import { Mark } from '../Mark.tsx';
import { shortcuts } from '../preferences.ts';
import { Dialog } from './Dialog.tsx';
import { SHORTCUTS } from './shortcuts.ts';

export function HelpDialog() {
  return (
    <Dialog name="help" title="Help">
      <div class="dialog-columns">
        <section>
          <h3>Keys</h3>
          <dl class="keys">
            {SHORTCUTS.map(({ shown, does }) => (
              <div key={shown}>
                <dt>
                  <kbd>{shown}</kbd>
                </dt>
                <dd>{does}</dd>
              </div>
            ))}
          </dl>
          <label class="check">
            <input
              type="checkbox"
              checked={shortcuts.value === 'on'}
              onChange={(event) => (shortcuts.value = event.currentTarget.checked ? 'on' : 'off')}
            />
            Single-letter keys on
          </label>
          <p>In the joint table: up and down move, Enter looks at a joint.</p>
        </section>
        <section>
          <h3>Signs</h3>
          <ul class="signs">
            <li>
              <Mark name="good" size={22} /> Expanding, inside every bound
            </li>
            <li>
              <Mark name="bad" size={22} /> Should be expanding, and is not
            </li>
            <li>
              <Mark name="rest" size={22} /> Not expanding, nothing wrong with that
            </li>
            <li>
              <Mark name="blind" size={22} /> Not known: old data, or none
            </li>
            <li>
              <Mark name="high" size={22} /> <Mark name="medium" size={22} /> <Mark name="low" size={22} /> Event: act
              now, act soon, take note
            </li>
          </ul>
          <h3>± figures</h3>
          <p>
            One standard deviation. After a verdict: the joint’s length may be off by so much that the verdict would be
            another.
          </p>
          <h3>Struck-out numbers</h3>
          <p>They are older than the plan allows. The age counts up until data comes back.</p>
        </section>
      </div>
    </Dialog>
  );
}
