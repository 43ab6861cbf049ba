import type { Incident, PhonesView } from '../../../../../schema/types';
import { Button } from '../../../parts/Button';
import { say } from '../../../parts/Toast';
import { supervisorWords } from '../../../words/supervisor';
import { number, when } from '../../../words/format';
import { refresh, send } from '../../../views/views';
import { Section } from '../Page';
import { Trouble, useSending } from '../Trouble';

/** What went wrong and was noticed: one line for each kind and device, with how often, until somebody puts it away. */
export function Incidents({ view }: { view: PhonesView }) {
  const words = supervisorWords.value.phones;
  const nameOf = (device: string) => view.phones.find((phone) => phone.device === device)?.name;
  const more = view.incidents_all - view.incidents.length;
  return (
    <Section title={words.troubleTitle}>
      {view.incidents.length === 0 ? (
        <p class="quiet">{words.troubleNone}</p>
      ) : (
        <ul class="entries">
          {view.incidents.map((incident) => (
            <Noticed key={`${incident.code} ${incident.device}`} incident={incident} name={nameOf(incident.device)} />
          ))}
        </ul>
      )}
      {more > 0 && <p class="small quiet">{words.troubleMore(number(more))}</p>}
    </Section>
  );
}

function Noticed({ incident, name }: { incident: Incident; name: string | undefined }) {
  const words = supervisorWords.value.phones;
  const names: { [code: string]: string | undefined } = words.trouble;
  const { trouble, attempt } = useSending();
  const said = names[incident.code] ?? words.troubleOther(incident.code);
  const putAway = async () => {
    await attempt(async () => {
      await send('/api/incidents/seen', { device: incident.device, code: incident.code, at: incident.at });
      say(words.troubleSeenDone);
      await refresh('phones');
    });
  };
  const times =
    incident.count > 1
      ? words.troubleTimes(number(incident.count), when(incident.first_at), when(incident.at))
      : when(incident.at);
  return (
    <li>
      <p>{said}</p>
      <p class="small quiet">
        {[times, name, incident.over_at > 0 && words.troubleOver(when(incident.over_at))].filter(Boolean).join(' · ')}
        {incident.detail && <span lang="en"> · {incident.detail}</span>}
      </p>
      <Trouble said={trouble} />
      <Button kind="quiet" onClick={() => void putAway()} aria-label={words.troubleSeenName(said)}>
        {words.troubleSeen}
      </Button>
    </li>
  );
}
