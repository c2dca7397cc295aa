// A photo is drawn anew, smaller: what the camera wrote about where and when stays behind.
const LONGEST = 1600, QUALITY = 0.82;

export async function shrunk(file) {
  let picture;
  try { picture = await createImageBitmap(file, { imageOrientation: "from-image" }); }
  catch { throw new Error(document.body.dataset.sayPhoto); }
  const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", QUALITY));
}
