/** How this person likes the app: kept on this phone, changed at once. */
import { useEffect } from 'preact/hooks';
import { Choice } from '../../../parts/Choice';
import { refreshEstimate, room } from '../../../journal/store/storage';
import { Link, Title } from '../../../router';
import { choose, me, settings } from '../../../state';
import { build } from '../../../update';
import { appWords } from '../../../words';
import { setupWords } from '../../../words/rooms';
import { number } from '../../../words/format';
import { Bar } from '../Bar';

const MB = 1_000_000;

export function Settings() {
  const words = setupWords.value.settings;
  const now = settings.value;
  useEffect(() => void refreshEstimate(), []);
  const { staying, usedBytes, quotaBytes } = room.value;
  return (
    <main class="scout settings with-bar">
      <Title text={appWords.value.scout.nav.settings} />
      {me.value && (
        <p class="quiet">
          {me.value.person_name} · {appWords.value.common.roles[me.value.role as 'scout']} · {me.value.device_name}
        </p>
      )}
      <Choice
        legend={words.language}
        value={now.language}
        options={[
          { value: 'en', label: 'English' },
          { value: 'es', label: 'Español' },
        ]}
        onChoose={(language) => choose({ language })}
      />
      <Choice
        legend={words.theme}
        value={now.theme}
        columns={2}
        options={[
          { value: 'plain', label: words.themes.plain },
          { value: 'sun', label: words.themes.sun },
          { value: 'dark', label: words.themes.dark },
          { value: 'auto', label: words.themes.auto },
        ]}
        onChoose={(theme) => choose({ theme })}
      />
      <Choice
        legend={words.text}
        value={now.text}
        options={[
          { value: 'normal', label: words.texts.normal },
          { value: 'large', label: words.texts.large },
        ]}
        onChoose={(text) => choose({ text })}
      />
      <Choice
        legend={words.hand}
        value={now.hand}
        options={[
          { value: 'left', label: words.hands.left },
          { value: 'right', label: words.hands.right },
        ]}
        onChoose={(hand) => choose({ hand })}
      />
      <Choice
        legend={words.length}
        value={now.units.length}
        options={[
          { value: 'cm', label: words.lengths.cm },
          { value: 'in', label: words.lengths.in },
        ]}
        onChoose={(length) => choose({ units: { ...now.units, length } })}
      />
      <Choice
        legend={words.temperature}
        value={now.units.temperature}
        options={[
          { value: 'C', label: '°C' },
          { value: 'F', label: '°F' },
        ]}
        onChoose={(temperature) => choose({ units: { ...now.units, temperature } })}
      />
      <Choice
        legend={words.volume}
        value={now.units.volume}
        options={[
          { value: 'L', label: words.volumes.L },
          { value: 'gal', label: words.volumes.gal },
        ]}
        onChoose={(volume) => choose({ units: { ...now.units, volume } })}
      />
      <Choice
        legend={words.entry}
        value={now.entry}
        options={[
          { value: 'keypad', label: words.entries.keypad },
          { value: 'steps', label: words.entries.steps },
        ]}
        onChoose={(entry) => choose({ entry })}
      />
      <Choice
        legend={words.caliper}
        value={now.caliper}
        options={[
          { value: 'mm', label: words.calipers.mm },
          { value: 'in', label: words.calipers.in },
        ]}
        onChoose={(caliper) => choose({ caliper })}
      />
      <section>
        <h2>{words.help}</h2>
        <p>
          <Link to="/help/head" class="button tap">
            {words.howToScore}
          </Link>
        </p>
      </section>
      <section>
        <h2>{words.phone}</h2>
        <p>{staying === true ? words.staying : staying === false ? words.notStaying : words.askLater}</p>
        {quotaBytes > 0 && <p class="small quiet">{words.used(number(usedBytes / MB, 1), number(quotaBytes / MB))}</p>}
        <p class="small quiet">{words.build(build)}</p>
        <p>
          <Link to="/pair" class="button tap">
            {appWords.value.scout.queue.pairAgain}
          </Link>
        </p>
      </section>
      <Bar />
    </main>
  );
}
