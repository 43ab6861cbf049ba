import { useEffect } from 'preact/hooks';
import type { Form } from '../../../forms/form';
import { SprayedWords } from '../../../parts/Signs';
import { dateTime } from '../../../words/format';
import { language } from '../../../words';
import { otherWorkWords, workWords } from '../../../words/rooms';
import { cautions, signs } from '../Cautions';
import { fieldsOf, signOf, strengthOf, useOf } from './mixing';
import '../../../style/batchsheet.css';

interface Props {
  form: Form;
  mixture: { headline: string; lines: readonly string[] };
  onOver: () => void;
}

/**
 * Prints one batch: what was typed, what to weigh or measure, the cautions in both languages, and lines to sign. Drawn for the printer alone,
 * and gone after it.
 */
export function BatchSheet({ form, mixture, onOver }: Props) {
  useEffect(() => {
    addEventListener('afterprint', onOver);
    print();
    return () => removeEventListener('afterprint', onOver);
  }, []);
  const words = workWords.value.work.mix;
  const other = language.value === 'en' ? 'es' : 'en';
  const use = useOf(form);
  const by = strengthOf(form);
  const isFeed = use === 'feed';
  const given = fieldsOf(use, by).map(
    (name) => [words.fields[name], `${form.at(name)} ${signOf(name, form)}`] as const,
  );
  return (
    <section class="for-printer batchsheet">
      <h2>{words.sheet.title}</h2>
      <p>{words.sheet.computed(dateTime(Date.now()))}</p>
      {!isFeed && (
        <p class="keepout">
          <SprayedWords apart=" / " />
        </p>
      )}
      <p class="weigh">{mixture.headline}</p>
      {mixture.lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <table>
        <tbody>
          <tr>
            <th>{words.use}</th>
            <td>{words.uses[use]}</td>
          </tr>
          {!isFeed && by && (
            <tr>
              <th>{words.by}</th>
              <td>{words.bys[by]}</td>
            </tr>
          )}
          {given.map(([name, text]) => (
            <tr key={name}>
              <th>{name}</th>
              <td>{text}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <ul>
        {cautions[isFeed ? 'feed' : 'mix'].map((name) => {
          const Sign = signs[name];
          return (
            <li key={name}>
              <Sign />
              <span>
                {workWords.value.work.application.cautions[name]}
                <span class="block" lang={other}>
                  {otherWorkWords.value.work.application.cautions[name]}
                </span>
              </span>
            </li>
          );
        })}
      </ul>
      <table class="sign">
        <tbody>
          {(isFeed ? words.sheet.linesFeed : words.sheet.lines).map((line) => (
            <tr key={line}>
              <th>{line}</th>
              <td />
            </tr>
          ))}
        </tbody>
      </table>
      <p>{isFeed ? words.sheet.feedRecord : words.sheet.record}</p>
    </section>
  );
}
