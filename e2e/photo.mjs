// A picture as a phone makes it: lying on its side, with the place where it was taken.

export async function photoFromAPhone(browser) {
  const page = await browser.newPage();
  const base64 = await page.evaluate(async () => {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [640, 400];
    const pen = canvas.getContext("2d");
    pen.fillStyle = "#caa";
    pen.fillRect(0, 0, 320, 400);
    return canvas.toDataURL("image/jpeg").split(",")[1];
  });
  await page.close();
  const jpeg = Buffer.from(base64, "base64");
  const exif = Buffer.concat([
    Buffer.from("Exif\0\0MM\0*\0\0\0\x08\0\x01", "latin1"),
    Buffer.from([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0]), // orientation 6: turn by a quarter
    Buffer.from("N 53.9 W 8.8"),
  ]);
  const length = Buffer.alloc(2);
  length.writeUInt16BE(exif.length + 2);
  return Buffer.concat([jpeg.subarray(0, 2), Buffer.from([0xff, 0xe1]), length, exif, jpeg.subarray(2)]);
}
