//! Photos: decoded under limits, turned upright, made smaller, written anew without what came with them.

use crate::desk::{Desk, id};
use crate::hand::Hand;
use crate::layout::Frame;
use crate::posted::Posted;
use crate::refusal::Refusal;
use axum::Extension;
use axum::extract::multipart::{Field, Multipart, MultipartRejection};
use axum::extract::{Path, State};
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Redirect, Response};
use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageReader, Limits};
use std::io::Cursor;

/// Most bytes of a photo as it is sent: a large phone's, with room.
pub(super) const MOST_BYTES: usize = 16 * 1024 * 1024;
/// Longest side of a photo as it is kept, in pixels: a crack at a nipple hole is still seen.
const LONGEST_SIDE: u32 = 2400;
/// Most pixels along a side of a photo that is decoded at all.
const MOST_PIXELS: u32 = 12_000;
/// Most memory that decoding may take, in bytes.
const MOST_MEMORY: u64 = 512 * 1024 * 1024;
/// Quality of the written JPEG: no blocks are seen at this.
const QUALITY: u8 = 85;
const MEDIA_TYPE: &str = "image/jpeg";

pub(super) async fn write(
    State(desk): State<Desk>,
    frame: Frame,
    Extension(hand): Extension<Hand>,
    Path(visit): Path<String>,
    sent: Result<Multipart, MultipartRejection>,
) -> Result<Redirect, Refusal> {
    let about = id(&visit)?;
    let mut sent = sent.map_err(|_| Refusal::no_form())?;
    let mut fields = Vec::new();
    let mut photo = None;
    while let Some(field) = sent.next_field().await.map_err(|_| Refusal::no_form())? {
        let name = field.name().unwrap_or_default().to_owned();
        if name == "photo" {
            // The token stands before the photo in our form: of a stranger's no byte is decoded.
            Posted::of(fields.clone(), &hand)?;
            photo = Some(whole(field).await?);
        } else {
            let text = field.text().await.map_err(|_| Refusal::no_form())?;
            fields.push((name, text));
        }
    }
    let posted = Posted::of(fields, &hand)?;
    let bytes = photo.filter(|bytes| !bytes.is_empty());
    let refuse = |why: &str| {
        Refusal::field("Photo", why).then(format!("/visits/{visit}"), "Back to the visit")
    };
    let bytes = bytes.ok_or_else(|| refuse("none was chosen"))?;
    let written = tokio::task::spawn_blocking(move || rewritten(&bytes)).await;
    let written = written.ok().flatten();
    let written =
        written.ok_or_else(|| refuse("it is no JPEG, PNG or WebP picture that can be read"))?;
    let caption = posted.said("caption")?;
    let pen = frame.pen(&posted)?;
    let done = desk
        .shop
        .keep_photo(&pen, about, MEDIA_TYPE, written, caption)
        .await;
    desk.back(done, &format!("/visits/{visit}"))
}

async fn whole(field: Field<'_>) -> Result<Vec<u8>, Refusal> {
    let bytes = field.bytes().await;
    bytes
        .map(|bytes| bytes.to_vec())
        .map_err(|_| Refusal::too_large("16 MB"))
}

/// The picture anew: upright, not too large, and nothing but the picture.
fn rewritten(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .ok()?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_PIXELS);
    limits.max_image_height = Some(MOST_PIXELS);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().ok()?;
    let orientation = decoder.orientation().ok()?;
    let mut picture = DynamicImage::from_decoder(decoder).ok()?;
    picture.apply_orientation(orientation);
    if picture.width().max(picture.height()) > LONGEST_SIDE {
        picture = picture.resize(LONGEST_SIDE, LONGEST_SIDE, FilterType::CatmullRom);
    }
    let mut written = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut written, QUALITY);
    picture.to_rgb8().write_with_encoder(encoder).ok()?;
    Some(written)
}

/// A photo by its hash. Whatever else is kept by a hash is not shown as one.
pub(super) async fn kept(
    State(desk): State<Desk>,
    Path(hash): Path<String>,
) -> Result<Response, Refusal> {
    let hash = hash.parse().map_err(|_| Refusal::not_there("photo"))?;
    let bytes = desk.shop.kept(hash).await.map_err(|e| desk.refuse(&e))?;
    if !bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        return Err(Refusal::not_there("photo"));
    }
    let headers = [
        (CONTENT_TYPE, MEDIA_TYPE),
        (CACHE_CONTROL, "private, max-age=31536000, immutable"),
    ];
    Ok((headers, bytes).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{Rgb, RgbImage};

    /// A JPEG, wider than high, with the Exif block of a camera held upright (orientation 6) and a place.
    fn from_a_phone(width: u32, height: u32) -> Vec<u8> {
        let picture = RgbImage::from_fn(width, height, |x, _| {
            if x < width / 2 {
                Rgb([250, 250, 250])
            } else {
                Rgb([10, 10, 10])
            }
        });
        let mut jpeg = Vec::new();
        picture
            .write_with_encoder(JpegEncoder::new(&mut jpeg))
            .expect("a JPEG");
        let mut exif = b"Exif\0\0MM\0*\0\0\0\x08\0\x02".to_vec();
        exif.extend(b"\x01\x12\0\x03\0\0\0\x01\0\x06\0\0"); // orientation: turn by a quarter
        exif.extend(b"\x88\x25\0\x04\0\0\0\x01\0\0\0\x26\0\0\0\0"); // a block of position data
        exif.extend(b"N 53 harbour");
        let length = u16::try_from(exif.len() + 2).expect("short").to_be_bytes();
        let mut whole = jpeg[..2].to_vec();
        whole.extend([0xff, 0xe1, length[0], length[1]]);
        whole.extend(exif);
        whole.extend(&jpeg[2..]);
        whole
    }

    #[test]
    fn photo_is_turned_upright_and_tells_no_place() {
        let sent = from_a_phone(64, 32);
        let kept = rewritten(&sent).expect("a picture");
        let picture = image::load_from_memory(&kept).expect("a JPEG").to_rgb8();
        assert_eq!(picture.dimensions(), (32, 64));
        assert!(picture.get_pixel(16, 4)[0] > 200 && picture.get_pixel(16, 60)[0] < 60);
        let tells = |what: &[u8]| kept.windows(what.len()).any(|window| window == what);
        assert!(!tells(b"Exif") && !tells(b"harbour"));
    }

    #[test]
    fn large_photo_is_made_smaller_and_keeps_its_shape() {
        let kept = rewritten(&from_a_phone(3000, 1000)).expect("a picture");
        let picture = image::load_from_memory(&kept).expect("a JPEG");
        assert_eq!((picture.width(), picture.height()), (800, 2400));
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        for bytes in [
            &b""[..],
            b"<svg onload=alert(1)>",
            b"\xff\xd8\xff",
            b"GIF89a",
        ] {
            assert_eq!(rewritten(bytes), None);
        }
    }

    /// A PNG that says it is 60 000 by 60 000 pixels and has none of them.
    #[test]
    fn picture_of_absurd_size_is_refused_before_it_is_decoded() {
        let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
        png.extend(60_000_u32.to_be_bytes());
        png.extend(60_000_u32.to_be_bytes());
        png.extend([8, 2, 0, 0, 0, 0, 0, 0, 0]);
        assert_eq!(rewritten(&png), None);
    }
}
