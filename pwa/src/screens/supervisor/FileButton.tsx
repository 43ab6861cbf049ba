interface Props {
  label: string;
  /** Endings and types that the browser offers; any other can still be chosen. */
  accept: string;
  onFile: (file: File) => void;
}

/** Asks for a file. */
export function FileButton({ label, accept, onFile }: Props) {
  return (
    <label class="button plain tap file">
      {label}
      <input
        type="file"
        accept={accept}
        onChange={(event) => {
          const [file] = event.currentTarget.files ?? [];
          if (file) onFile(file);
          // The same file, put right meanwhile, may be chosen again.
          event.currentTarget.value = '';
        }}
      />
    </label>
  );
}
