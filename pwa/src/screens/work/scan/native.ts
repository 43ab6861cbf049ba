/** The browser's own code reader. */

export interface NativeDetector {
  detect: (picture: ImageBitmap) => Promise<{ rawValue: string; cornerPoints: readonly { x: number; y: number }[] }[]>;
}

interface NativeDetectors {
  new (options: { formats: string[] }): NativeDetector;
  getSupportedFormats: () => Promise<string[]>;
}

/** True where the browser reads QR codes by itself. Some have the class and no reader behind it. */
export async function readsCodes(): Promise<boolean> {
  const Native = detectors();
  return Native !== undefined && (await Native.getSupportedFormats().catch((): string[] => [])).includes('qr_code');
}

export async function nativeDetector(): Promise<NativeDetector | undefined> {
  const Native = detectors();
  return Native && (await readsCodes()) ? new Native({ formats: ['qr_code'] }) : undefined;
}

function detectors(): NativeDetectors | undefined {
  return (globalThis as { BarcodeDetector?: NativeDetectors }).BarcodeDetector;
}
