import { useState } from 'preact/hooks';
import type { RightSpread, RightView } from '../../../../../schema/types';
import { saveForm } from '../../../forms/saving';
import { profileOf } from '../../../journal/records/input';
import { recordOf, seenIn, sites } from '../../../journal/records/registers';
import { intent } from '../../../journal/outbox/write';
import type { Intent } from '../../../journal/store/shape';
import { Button } from '../../../parts/Button';
import { word } from '../../../words/entry';
import { number, percent } from '../../../words/format';
import { supervisorWords } from '../../../words/supervisor';
import { nameOfCrop } from '../../../words/names';
import { newProfileId } from '../crops/crops';
import { Section } from '../Page';

/** How much seasons and springs differed, beside what the plan assumes. An assumption changes when somebody takes what came out, never by itself. */
export function Spreads({ view }: { view: RightView }) {
  const words = supervisorWords.value.right.spread;
  const { stage } = supervisorWords.value.plan;
  const { seasons = [], pace } = view;
  return (
    <Section title={words.title}>
      <p class="intro">{words.intro}</p>
      {seasons.map((season) => (
        <Offer
          key={season.crop}
          said={words.season(nameOfCrop(season.crop), season.n, season.groups)}
          spread={season}
          write={logit}
          note={(value) => seasonNote(season.crop, value)}
        />
      ))}
      {seasons.length === 0 && <p>{words.seasonUnknown}</p>}
      {pace ? (
        <Offer
          said={words.pace(nameOfCrop(pace.crop), word(stage, pace.stage), pace.n, pace.groups)}
          spread={pace}
          write={ofDays}
          note={paceNote}
        />
      ) : (
        <p>{words.paceUnknown}</p>
      )}
      <p class="intro small quiet">{words.note}</p>
    </Section>
  );
}

interface OfferProps {
  said: string;
  spread: RightSpread;
  write: (value: number) => string;
  /** The note that makes the plan assume a value; undefined while its record has not arrived on this device. */
  note: (value: number) => Intent | undefined;
}

function Offer({ said, spread, write, note }: OfferProps) {
  const words = supervisorWords.value.right.spread;
  const [taken, setTaken] = useState<number>();
  const { sd, low, high, now, is_own: isOwn, start, most } = spread;
  const take = (value: number) => {
    const made = note(value);
    if (!made) return;
    const isNot = () => setTaken(undefined);
    setTaken(value);
    void saveForm(made.id, [made], words.saved(write(value)), isNot).then((saved) => !saved && isNot());
  };
  // Until the plan that is shown assumes it.
  const isUnderWay = taken !== undefined && taken !== now;
  const offered = Math.min(sd, most);
  return (
    <>
      <p>
        {said} <b>{write(sd)}</b> {words.between(write(low), write(high))} {words.now(write(now), isOwn)}{' '}
        {now >= low && now <= high ? words.fits : words.off}
      </p>
      <p class="actions">
        {offered > 0 && offered !== now && (
          <Button disabled={isUnderWay || !note(offered)} onClick={() => take(offered)}>
            {words.use(write(offered))}
          </Button>
        )}
        {isOwn && now !== start && (
          <Button kind="quiet" disabled={isUnderWay || !note(start)} onClick={() => take(start)}>
            {words.back(write(start))}
          </Button>
        )}
      </p>
    </>
  );
}

const logit = (milli: number) => number(milli / 1000, 2);
const ofDays = (parts: number) => percent(parts / 10_000, 1);

function seasonNote(crop: string, value: number): Intent {
  const profile = profileOf(crop);
  const saw = seenIn(recordOf('profile', profile?.id ?? '')?.register, ['sharing_sd_milli']);
  const of = profile ? { of: profile.id } : { of: newProfileId(crop), crop };
  return intent('profile', { ...of, saw, sharing_sd_milli: value });
}

function paceNote(value: number): Intent | undefined {
  const [site] = sites.value.values();
  if (!site) return undefined;
  return intent('site', { of: site.id, saw: seenIn(recordOf('site', site.id)?.register, ['pace_bp']), pace_bp: value });
}
