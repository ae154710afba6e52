//! A drawing as a picture of grey dots, for those who cannot show the drawing itself.
//!
//! Only the built-in lettering is used, never what the machine happens to have, so that the
//! picture is the same everywhere.

use std::sync::Arc;

use barwright_core::drawing::lettering::{FAMILY, TTF};
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

/// Dots per inch that the SVG reader takes for a millimetre: CSS has 96 to the inch.
const READER: f32 = 96.0;

/// Draws an SVG drawing at so many dots per inch: PNG, eight bits of grey, with its physical size.
///
/// Fails in words where the text is no drawing or the picture finds no memory.
pub(crate) fn png(svg: &str, dpi: u32) -> Result<Vec<u8>, String> {
    let mut faces = fontdb::Database::new();
    faces.load_font_data(TTF.to_vec());
    let options = Options { fontdb: Arc::new(faces), font_family: FAMILY.to_owned(), ..Options::default() };
    let tree = Tree::from_str(svg, &options).map_err(|error| error.to_string())?;
    let times = to_f32(dpi) / READER;
    let (width, height) = (dots(tree.size().width() * times)?, dots(tree.size().height() * times)?);
    let mut picture = Pixmap::new(width, height)
        .ok_or_else(|| format!("{width} by {height} dots are more than the machine can hold"))?;
    picture.fill(Color::WHITE);
    resvg::render(&tree, Transform::from_scale(times, times), &mut picture.as_mut());
    // Black ink on opaque white: every channel holds the grey.
    let grey: Vec<u8> = picture.pixels().iter().map(|dot| dot.green()).collect();
    drop(picture);
    encode(&grey, (width, height), dpi).map_err(|error| error.to_string())
}

fn encode(grey: &[u8], (width, height): (u32, u32), dpi: u32) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Best);
    // An inch is 0.0254 m, and the format speaks of dots per metre: 254 dpi are 10000 exactly.
    let per_metre = (u64::from(dpi) * 10_000 + 127) / 254;
    let per_metre = u32::try_from(per_metre).unwrap_or(u32::MAX);
    encoder.set_pixel_dims(Some(png::PixelDimensions { xppu: per_metre, yppu: per_metre, unit: png::Unit::Meter }));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(grey)?;
    writer.finish()?;
    Ok(bytes)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between 1 and 100000 just before")]
fn dots(value: f32) -> Result<u32, String> {
    let whole = value.round();
    if (1.0..=100_000.0).contains(&whole) { Ok(whole as u32) } else { Err(format!("{whole} dots in a row")) }
}

fn to_f32(dpi: u32) -> f32 {
    dpi as f32
}

#[cfg(test)]
mod tests {
    use super::png;

    const LINE: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10"><rect width="20" height="10" fill="#fff"/><rect x="5" y="2" width="10" height="1" fill="#000"/></svg>"##;

    #[test]
    fn millimetres_fall_on_whole_dots() {
        let bytes = png(LINE, 254).expect("a picture");
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("a header");
        let info = reader.info();
        assert_eq!((info.width, info.height), (200, 100), "10 dots to the millimetre");
        let size = info.pixel_dims.expect("a physical size");
        assert_eq!((size.xppu, size.yppu), (10_000, 10_000), "dots per metre");
        let mut dots = vec![0; 200 * 100];
        reader.next_frame(&mut dots).expect("dots");
        let dark: Vec<usize> = (0..200).filter(|x| dots[25 * 200 + x] < 128).collect();
        assert_eq!((dark.first(), dark.last()), (Some(&50), Some(&149)), "from 5 mm to 15 mm");
    }

    #[test]
    fn nonsense_is_told() {
        assert!(png("no drawing", 254).is_err(), "text that is no drawing");
        assert!(png(LINE, 100_000_000).is_err(), "more dots than any machine holds");
    }
}
