import { useId } from 'preact/hooks';

interface Props {
  label: string;
  disabled: boolean;
  onFile: (file: File | undefined) => Promise<void>;
  camera?: boolean;
  main?: boolean;
}

/** A native file input with the looks of a button: the phone's own camera app takes the picture. */
export function FileButton({ label, disabled, onFile, camera = false, main = false }: Props) {
  const id = useId();
  return (
    <label for={id} class={`button walk file ${main ? 'main' : ''}`} data-disabled={disabled}>
      {label}
      <input
        id={id}
        class="unseen"
        type="file"
        accept="image/*"
        disabled={disabled}
        {...(camera ? { capture: 'environment' as const } : {})}
        onChange={(event) => {
          const input = event.currentTarget;
          // Emptied, so that the same picture chosen again is heard too.
          void onFile(input.files?.[0]).finally(() => (input.value = ''));
        }}
      />
    </label>
  );
}
