//! What is said of a picture as an XMP packet (ISO 16684-1): keywords (Dublin Core), and its marks as IPTC Image Regions (IPTC Photo
//! Metadata Standard, Image Region, since 2019.1).
//!
//! That standard has rectangles, circles and polygons. A line goes there and back, so that it has no area; a spot is a circle with a
//! radius of half a percent of the width, so that it can be seen.

use std::fmt::Write as _;

use crate::model::region::Point;
use crate::model::region::Region;

/// Radius of a spot, as a share of the width.
const SPOT: f64 = 0.005;

/// What is said of a picture.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct PictureWords {
    /// Which picture of which piece.
    pub(super) title: String,
    /// What was written of it as a whole.
    pub(super) note: Option<String>,
    /// Where its original is found: its address by its digest.
    pub(super) source: String,
    /// What is to be seen in it, each once.
    pub(super) keywords: Vec<String>,
    /// Its marks that have a place.
    pub(super) regions: Vec<RegionWords>,
}

/// A mark with a place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RegionWords {
    /// Its word.
    pub(super) name: String,
    /// The rest of what it says.
    pub(super) about: String,
    /// Its place, percent.
    pub(super) region: Region,
}

/// The packet.
pub(super) fn packet(it: &PictureWords) -> String {
    let mut out = String::from(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" \
         xmlns:Iptc4xmpExt=\"http://iptc.org/std/Iptc4xmpExt/2008-02-29/\">\n",
    );
    element(&mut out, "dc:title", &in_any_language(&it.title));
    if let Some(note) = &it.note {
        element(&mut out, "dc:description", &in_any_language(note));
    }
    element(&mut out, "dc:source", &escaped(&it.source));
    let words = it
        .keywords
        .iter()
        .map(|it| format!("<rdf:li>{}</rdf:li>", escaped(it)));
    let words: String = words.collect();
    if !words.is_empty() {
        element(
            &mut out,
            "dc:subject",
            &format!("<rdf:Bag>{words}</rdf:Bag>"),
        );
    }
    let regions = it.regions.iter().enumerate();
    let regions: String = regions.map(|(n, it)| region(n + 1, it)).collect();
    if !regions.is_empty() {
        let bag = format!("<rdf:Bag>{regions}</rdf:Bag>");
        element(&mut out, "Iptc4xmpExt:ImageRegion", &bag);
    }
    out.push_str("</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>");
    out
}

fn region(no: usize, it: &RegionWords) -> String {
    let mut out = String::from("<rdf:li rdf:parseType=\"Resource\">\n");
    let boundary = boundary(&it.region);
    let _ = writeln!(
        out,
        "<Iptc4xmpExt:RegionBoundary rdf:parseType=\"Resource\">{boundary}</Iptc4xmpExt:RegionBoundary>"
    );
    element(&mut out, "Iptc4xmpExt:rId", &format!("mark-{no}"));
    element(&mut out, "Iptc4xmpExt:Name", &in_any_language(&it.name));
    if !it.about.is_empty() {
        element(&mut out, "dc:description", &in_any_language(&it.about));
    }
    out.push_str("</rdf:li>");
    out
}

fn boundary(region: &Region) -> String {
    let mut out = String::new();
    let mut say = |name: &str, value: &str| {
        let _ = write!(out, "<Iptc4xmpExt:{name}>{value}</Iptc4xmpExt:{name}>");
    };
    say("rbUnit", "relative");
    let round: Vec<Point> = match region {
        Region::Box([x, y, w, h]) => {
            say("rbShape", "rectangle");
            for (name, side) in [("rbX", x), ("rbY", y), ("rbW", w), ("rbH", h)] {
                say(name, &share(*side));
            }
            return out;
        }
        Region::Spot([x, y]) => {
            say("rbShape", "circle");
            say("rbX", &share(*x));
            say("rbY", &share(*y));
            say("rbRx", &share(SPOT * 100.0));
            return out;
        }
        Region::Outline(points) => points.clone(),
        Region::Line(points) => {
            let inner = points.len().saturating_sub(1).max(1);
            let back = points[1.min(inner)..inner].iter().rev();
            points.iter().chain(back).copied().collect()
        }
    };
    say("rbShape", "polygon");
    let corner = |[x, y]: &Point| {
        let (x, y) = (share(*x), share(*y));
        format!(
            "<rdf:li rdf:parseType=\"Resource\"><Iptc4xmpExt:rbX>{x}</Iptc4xmpExt:rbX><Iptc4xmpExt:rbY>{y}</Iptc4xmpExt:rbY></rdf:li>"
        )
    };
    let corners: String = round.iter().map(corner).collect();
    say("rbVertices", &format!("<rdf:Seq>{corners}</rdf:Seq>"));
    out
}

/// Percent as a share of 1, to a millionth.
fn share(percent: f64) -> String {
    ((percent * 10_000.0).round() / 1_000_000.0).to_string()
}

fn element(out: &mut String, name: &str, inner: &str) {
    let _ = writeln!(out, "<{name}>{inner}</{name}>");
}

fn in_any_language(text: &str) -> String {
    let text = escaped(text);
    format!("<rdf:Alt><rdf:li xml:lang=\"x-default\">{text}</rdf:li></rdf:Alt>")
}

/// A text in XML 1.0, which has no control characters but tab and line ends.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\t' | '\n' => out.push(sign),
            '\u{fffe}' | '\u{ffff}' => {}
            sign if sign.is_control() => {}
            sign => out.push(sign),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::boundary;
    use super::escaped;
    use crate::model::region::Region;

    #[test]
    fn a_line_goes_there_and_back() {
        let line = Region::Line(vec![[0.0, 0.0], [50.0, 0.0], [50.0, 12.5]]);
        let text = boundary(&line);
        let xs: Vec<&str> = text
            .split("<Iptc4xmpExt:rbX>")
            .skip(1)
            .map(|it| it.split('<').next().unwrap())
            .collect();
        assert_eq!(xs, ["0", "0.5", "0.5", "0.5"]);
        assert_eq!(text.matches("0.125").count(), 1);
        let short = boundary(&Region::Line(vec![[0.0, 0.0], [50.0, 0.0]]));
        assert_eq!(short.matches("rdf:parseType").count(), 2);
    }

    #[test]
    fn what_xml_cannot_hold_is_left_out() {
        assert_eq!(escaped("a<b> & \u{1}c\nd"), "a&lt;b&gt; &amp; c\nd");
    }
}
