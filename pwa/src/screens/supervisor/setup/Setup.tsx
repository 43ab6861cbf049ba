import { supervisorWords } from '../../../words/supervisor';
import { held } from '../../../views/views';
import { Backups } from '../beds/Backup';
import { useOpenOnPaper } from '../onPaper';
import { Page, Section } from '../Page';
import { AddBeds } from './AddBeds';
import { Houses } from './Houses';
import { NurseryName } from './NurseryName';
import { People } from './People';
import { SetupParts } from './SetupParts';
import { WorkingDays } from './WorkingDays';
import '../../../style/supervisor-crops.css';

/** What the nursery consists of: its name, houses and beds, or the people who work there. */
export default function Setup({ id }: { id?: string }) {
  const isPeople = id === 'people';
  const open = useOpenOnPaper('.one-house');
  const title = () => supervisorWords.value.nursery.part[isPeople ? 'people' : 'beds'];
  return (
    <Page here="setup" title={title} loaded={held(true)} onTryAgain={() => location.reload()}>
      {() => (
        <div class="setup-page" ref={open}>
          <SetupParts here={isPeople ? 'people' : 'beds'} />
          {isPeople ? (
            <People />
          ) : (
            <>
              <Section title={supervisorWords.value.nursery.name}>
                <NurseryName />
              </Section>
              <WorkingDays />
              <AddBeds />
              <Houses />
              <Backups />
            </>
          )}
        </div>
      )}
    </Page>
  );
}
