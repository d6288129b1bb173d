// A photo small enough to keep on the phone. The server re-encodes it again, whatever comes.
const LONGEST_PX = 1280;
const QUALITY = 0.75;

export async function shrink(file) {
  const picture = await createImageBitmap(file).catch(() => null);
  if (!picture) return asUrl(file); // no picture the browser knows: the server says why
  const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas.toDataURL("image/jpeg", QUALITY);
}

function asUrl(file) {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(reader.result);
    reader.onerror = () => reject(reader.error);
    reader.readAsDataURL(file);
  });
}

export function toBlob(url) {
  const [head, data] = url.split(",");
  const bytes = Uint8Array.from(atob(data), (sign) => sign.charCodeAt(0));
  return new Blob([bytes], { type: head.slice(5).split(";")[0] });
}
