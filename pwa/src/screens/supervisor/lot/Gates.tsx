import type { CropPlan, PlanGate } from '../../../../../schema/types';
import { supervisorWords } from '../../../words/supervisor';
import { saidGate } from '../../../words/gates';

/** What must be seen on the pots before the lot's next step, and what the last walks saw. */
export function Gates({ plan, gates }: { plan: CropPlan; gates: readonly PlanGate[] }) {
  const words = supervisorWords.value.plan.gate;
  return (
    <section class="gates" aria-label={words.title}>
      <h3>{words.title}</h3>
      {gates.map((gate) => (
        <p key={gate.line} class={gate.state === 'not_yet' ? 'attention' : ''}>
          {saidGate(gate, plan).join(' ')}
        </p>
      ))}
    </section>
  );
}
