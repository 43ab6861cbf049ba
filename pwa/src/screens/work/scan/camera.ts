/** The camera on the back of the phone, as a stream that starts again after the app was in the background. */

export type NoCamera = 'refused' | 'noCamera' | 'taken';

export async function openCamera(): Promise<MediaStream | NoCamera> {
  const devices = navigator.mediaDevices as MediaDevices | undefined;
  if (!devices?.getUserMedia) return 'noCamera';
  try {
    return await devices.getUserMedia({
      audio: false,
      video: { facingMode: { ideal: 'environment' }, width: { ideal: 1280 }, height: { ideal: 720 } },
    });
  } catch (error) {
    const name = error instanceof DOMException ? error.name : '';
    if (name === 'NotAllowedError' || name === 'SecurityError') return 'refused';
    return name === 'NotReadableError' || name === 'AbortError' ? 'taken' : 'noCamera';
  }
}

export function closeCamera(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}
