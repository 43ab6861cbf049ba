import type { CropPlan, PlanStep } from '../../../../../schema/types';
import { DataTable } from '../../../parts/DataTable';
import { Link } from '../../../router';
import { day } from '../../../words/format';
import { word } from '../../../words/entry';
import { supervisorWords } from '../../../words/supervisor';
import { addressOfCrop } from '../crops/crops';
import { StepCautions } from '../../../parts/Caution';
import { Gates } from './Gates';
import { nextOf, isLate, saidPlan, stepName } from './planWords';
import '../../../style/supervisor-plan.css';

interface Props {
  plan: CropPlan;
  crop: string;
  week: string;
  /** The day that the plan was made for, as the schema writes it. */
  today: string;
  /** Beside other things there is room for three columns; what the days rest on is folded under them. */
  narrow?: boolean;
}

/** A lot's way ahead: what it comes to, then step by step what was done, what is likely, and by when it must be. */
export function PlanOfLot({ plan, crop, week, today, narrow = false }: Props) {
  const words = supervisorWords.value.plan;
  const [first, ...rest] = saidPlan(plan, crop, week, today);
  const wantsStages = plan.problem === 'no_stages' || (plan.problem === '' && plan.not_own > 0);
  return (
    <>
      <p class={isLate(plan) ? 'attention' : 'gist'}>{first}</p>
      {rest.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {wantsStages && crop !== '' && (
        <p>
          <Link to={addressOfCrop(crop)}>{words.toCrops}</Link>
        </p>
      )}
      {plan.gates && plan.gates.length > 0 && plan.problem === '' && <Gates plan={plan} gates={plan.gates} />}
      {plan.steps.length > 0 && plan.problem !== 'shipped' && plan.problem !== 'stock' && (
        <>
          <Steps plan={plan} today={today} narrow={narrow} />
          {narrow && <RestsOn steps={plan.steps} />}
        </>
      )}
      <StepCautions steps={[nextOf(plan)?.step ?? '']} />
    </>
  );
}

function Steps({ plan, today, narrow }: { plan: CropPlan; today: string; narrow: boolean }) {
  const words = supervisorWords.value.plan;
  const next = nextOf(plan);
  return (
    <DataTable
      caption={words.lotTitle}
      captionUnseen
      stacks
      rows={plan.steps}
      keyOf={(step) => step.step}
      rowClass={(step) => (step === next && isLate(plan) ? 'late' : '')}
      columns={[
        { key: 'step', title: words.table.step, heads: true, cell: stepName },
        { key: 'when', title: words.table.when, cell: (step) => <When step={step} plan={plan} today={today} /> },
        { key: 'latest', title: words.table.latest, cell: latest },
        ...(narrow ? [] : [{ key: 'rests', title: words.table.rests, long: true, cell: restsOn }]),
      ]}
    />
  );
}

function When({ step, plan, today }: { step: PlanStep; plan: CropPlan; today: string }) {
  const words = supervisorWords.value.plan;
  const notes = [
    ...(step.by_bed ? [words.byBed] : []),
    ...(step.others ?? []).map((on) => words.others(day(on))),
    ...(step.pinned === '' ? [] : [saidPin(step)]),
    ...(step === nextOf(plan) && isOverdue(step, plan, today) ? [words.notNoted] : []),
  ];
  return (
    <>
      {step.done ? (step.on === '' ? words.dayUnknown : day(step.on)) : likely(step)}
      {step.likely_from && step.likely_why && (
        <span class="small quiet block">
          {words.moved(day(step.likely_from), day(step.day50), whyFree(step.likely_why))}
        </span>
      )}
      {notes.length > 0 && <span class="small quiet block">{notes.join(', ')}</span>}
      {step.out_of_order && <span class="small attention block">{words.outOfOrder}</span>}
    </>
  );
}

/** What the dates rest on, folded under the steps where there is no room beside them. */
function RestsOn({ steps }: { steps: readonly PlanStep[] }) {
  const said = steps.map(restsOn).filter((each) => each !== '');
  if (said.length === 0) return null;
  return (
    <details class="rests">
      <summary>{supervisorWords.value.plan.table.rests}</summary>
      <ul>
        {said.map((each) => (
          <li key={each} class="small">
            {each}
          </li>
        ))}
      </ul>
    </details>
  );
}

function likely(step: PlanStep): string {
  const words = supervisorWords.value.plan;
  if (step.day50 === '') return step.day10 === '' ? '' : words.tooUncertain;
  if (step.day90 === '') return words.openEnd(day(step.day50), day(step.day10));
  if (step.day10 === step.day90) return day(step.day50);
  return words.between(day(step.day50), day(step.day10), day(step.day90));
}

function saidPin(step: PlanStep): string {
  const words = supervisorWords.value.plan;
  if (step.free === '') return words.planned(day(step.pinned));
  return words.plannedFree(day(step.pinned), whyFree(step.free));
}

/** The stage that the lot is in has taken as long as the middle lot already. */
function isOverdue(step: PlanStep, plan: CropPlan, today: string): boolean {
  const began = plan.steps[plan.next - 1]?.on ?? '';
  const middle = step.days?.[1];
  if (began === '' || middle === undefined) return false;
  return Date.parse(today) - Date.parse(began) > middle * 86_400_000;
}

function latest(step: PlanStep): string {
  const words = supervisorWords.value.plan;
  if (step.latest50 === '') return '';
  const days =
    step.latest90 === ''
      ? words.latestOne(day(step.latest50))
      : words.latestBoth(day(step.latest50), day(step.latest90));
  if (!step.moved_from || !step.moved_why) return days;
  return `${days}. ${words.moved(day(step.moved_from), day(step.latest50), whyFree(step.moved_why))}`;
}

function whyFree(why: string): string {
  return why === 'weekend' ? supervisorWords.value.plan.weekend : why;
}

function restsOn(step: PlanStep): string {
  const words = supervisorWords.value.plan;
  const [quick, middle, slow] = step.days ?? [];
  if (step.done || quick === undefined || middle === undefined || slow === undefined) return '';
  // A view that an earlier build kept does not say whose its own days are.
  const standing = (step.standing === 'own' && word(words.ownFor, step.from)) || word(words.standing, step.standing);
  const from = step.source === '' ? standing : words.source(standing, step.source);
  return `${words.lengthOf(word(words.stage, step.stage), quick, middle, slow)}; ${from}`;
}
