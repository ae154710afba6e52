//! The picture of a drawing beside its PDF, which another program draws.

use std::io::Cursor;
use std::path::Path;
use std::process::Command;

/// Extent and grey of a picture.
struct Dots {
    width: usize,
    height: usize,
    grey: Vec<u8>,
}

impl Dots {
    fn of_png(path: &Path) -> (Self, Option<png::PixelDimensions>) {
        let bytes = std::fs::read(path).expect("a picture");
        let mut reader = png::Decoder::new(Cursor::new(bytes)).read_info().expect("a header");
        let (width, height, size) = (reader.info().width, reader.info().height, reader.info().pixel_dims);
        assert_eq!(
            (reader.info().color_type, reader.info().bit_depth),
            (png::ColorType::Grayscale, png::BitDepth::Eight),
            "eight bits of grey"
        );
        let (width, height) = (width as usize, height as usize);
        let mut grey = vec![0; width * height];
        reader.next_frame(&mut grey).expect("dots");
        (Self { width, height, grey }, size)
    }

    /// Reads a plain grey map as pdftoppm writes it: `P5`, width and height, most, each on a line.
    fn of_pgm(path: &Path) -> Self {
        let bytes = std::fs::read(path).expect("a grey map");
        let parts: Vec<&[u8]> = bytes.splitn(4, |byte| *byte == b'\n').collect();
        let extent = String::from_utf8_lossy(parts[1]).into_owned();
        let extent: Vec<usize> = extent.split(' ').map(|text| text.parse().expect("a number")).collect();
        Self { width: extent[0], height: extent[1], grey: parts[3].to_vec() }
    }

    /// The darkest within so many dots of a place.
    fn darkest(&self, (x, y): (usize, usize), near: usize) -> u8 {
        let rows = y.saturating_sub(near)..=(y + near).min(self.height - 1);
        let columns = x.saturating_sub(near)..=(x + near).min(self.width - 1);
        rows.flat_map(|row| columns.clone().map(move |column| self.grey[row * self.width + column]))
            .min()
            .unwrap_or(255)
    }

    /// Black dots that have nothing dark near them in another picture.
    fn lacking_in(&self, other: &Self) -> usize {
        let all = (0..self.height).flat_map(|y| (0..self.width).map(move |x| (x, y)));
        all.filter(|(x, y)| self.grey[y * self.width + x] < 64 && other.darkest((*x, *y), 2) > 160).count()
    }
}

/// Dots: 254 to the inch are 10 to the millimetre; 297 x 210 is ISO 216's A4, 11 x 8.5 in letter.
#[test]
fn picture_and_pdf_show_one_drawing() {
    for (like, dpi, extent, per_metre) in [
        ("warping-frame", "254", (2970, 2100), 10_000),
        // 300 dpi are 11811.02 dots to the metre.
        ("warping-frame-inch", "300", (3300, 2550), 11_811),
    ] {
        let folder = tempfile::tempdir().expect("a folder");
        let out = folder.path().join("out");
        let made = Command::new(env!("CARGO_BIN_EXE_barwright"))
            .args(["make", "joining-key", "--like", like, &format!("--png={dpi}"), "-o"])
            .arg(&out)
            .output()
            .expect("the program runs");
        assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
        let (picture, size) = Dots::of_png(&out.join("drawing.png"));
        assert_eq!((picture.width, picture.height), extent, "{like}: extent in dots");
        let size = size.expect("a physical size");
        assert!(matches!(size.unit, png::Unit::Meter), "{like}: dots per metre");
        assert_eq!((size.xppu, size.yppu), (per_metre, per_metre), "{like}: dots per metre");
        let drawn = Command::new("pdftoppm")
            .args(["-r", dpi, "-gray", "-singlefile"])
            .arg(out.join("drawing.pdf"))
            .arg(out.join("page"))
            .status()
            .unwrap_or_else(|error| panic!("pdftoppm is missing ({error}); this test needs the package poppler-utils"));
        assert!(drawn.success(), "{like}: the PDF can be drawn");
        let page = Dots::of_pgm(&out.join("page.pgm"));
        // Poppler rounds a page up to whole dots.
        assert!(
            page.width.abs_diff(picture.width) <= 1 && page.height.abs_diff(picture.height) <= 1,
            "{like}: extents"
        );
        assert_eq!(picture.lacking_in(&page), 0, "{like}: the picture shows what the PDF does not");
        assert_eq!(page.lacking_in(&picture), 0, "{like}: the PDF shows what the picture does not");
    }
}
