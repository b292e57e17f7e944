//! What other programs wrote into a photo about its picture: keywords, captions (Dublin Core in XMP, ISO 16684-1; IPTC-IIM 4; Exif) and
//! regions (of the Metadata Working Group, and of IPTC Photo Metadata, since 2019.1, in XMP).

use roxmltree::Document;
use roxmltree::Node;

use crate::photo::disclosed::packets;
use crate::photo::disclosed::said_of_the_picture;
use crate::pixels::guarded;

const RDF: &str = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";
const DC: &str = "http://purl.org/dc/elements/1.1/";
const MWG: &str = "http://www.metadataworkinggroup.com/schemas/regions/";
const AREA: &str = "http://ns.adobe.com/xmp/sType/Area#";
const IPTC: &str = "http://iptc.org/std/Iptc4xmpExt/2008-02-29/";

/// So many keywords and regions of a photo are told; a face album can hold hundreds.
const MOST: usize = 200;

/// What other programs wrote into a photo.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Written {
    /// Keywords, each once, in their order.
    pub keywords: Vec<String>,
    /// Captions, each once, blanks and line ends as one blank; what cameras write of themselves is left out.
    pub captions: Vec<String>,
    /// Regions, in their order; faces are left out.
    pub regions: Vec<WrittenRegion>,
}

/// A region that another program drew.
#[derive(Clone, Debug, PartialEq)]
pub struct WrittenRegion {
    /// Its name; empty when it has none.
    pub name: String,
    /// Left, top, width and height in percent of the picture as it is stored; `None` for what is no rectangle, or is told in pixels.
    pub area: Option<[f64; 4]>,
}

impl Written {
    /// Whether nothing was written.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.keywords.is_empty() && self.captions.is_empty() && self.regions.is_empty()
    }
}

/// Reads what other programs wrote into a photo; nothing where it cannot be read.
#[must_use]
pub fn written_in(bytes: &[u8]) -> Written {
    guarded(|| Ok(read(bytes))).unwrap_or_default()
}

fn read(bytes: &[u8]) -> Written {
    let mut all = Written::default();
    for packet in packets(bytes) {
        let Ok(document) = Document::parse(&packet) else {
            continue;
        };
        for it in document.root_element().descendants() {
            if it.has_tag_name((DC, "subject")) {
                all.keywords.extend(items(it).filter_map(text));
            } else if it.has_tag_name((DC, "description")) {
                all.captions.extend(items(it).filter_map(text));
            } else if it.has_tag_name((MWG, "RegionList")) {
                all.regions.extend(items(it).filter_map(mwg));
            } else if it.has_tag_name((IPTC, "ImageRegion")) {
                all.regions.extend(items(it).filter_map(iptc));
            }
        }
    }
    let (keywords, captions) = said_of_the_picture(bytes);
    let keywords = keywords.iter().filter_map(|it| plain(it));
    all.keywords.extend(keywords);
    let captions = captions.iter().filter_map(|it| plain(it));
    all.captions
        .extend(captions.filter(|it| !is_of_a_camera(it)));
    // Records hold 64 bytes of a keyword and 2000 of a caption; what was cut off there stands whole elsewhere.
    all.keywords = each_once(all.keywords, 60);
    all.captions = each_once(all.captions, 0);
    all.keywords.truncate(MOST);
    all.captions.truncate(MOST);
    all.regions.truncate(MOST);
    all
}

/// Each text once, without those that another begins with, when they have so many bytes.
fn each_once(all: Vec<String>, cut: usize) -> Vec<String> {
    let mut kept: Vec<String> = Vec::new();
    for it in all {
        let is_in = |longer: &String| *longer == it || (it.len() >= cut && longer.starts_with(&it));
        if kept.iter().any(is_in) {
            continue;
        }
        kept.retain(|shorter| shorter.len() < cut || !it.starts_with(shorter.as_str()));
        kept.push(it);
    }
    kept
}

/// A text in one line; `None` for none, and for bytes that are no text.
fn plain(text: &str) -> Option<String> {
    let text = text.trim_matches('\0');
    let strange =
        |c: char| c == char::REPLACEMENT_CHARACTER || (c.is_control() && !c.is_whitespace());
    if text.contains(strange) {
        return None;
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    (!words.is_empty()).then(|| words.join(" "))
}

/// Whether a caption is one that cameras and programs write into every picture (common practice, no source).
fn is_of_a_camera(caption: &str) -> bool {
    let caption = caption.to_lowercase();
    let holds = ["digital camera", "digital still camera", "dcim"];
    let begins = [
        "sony dsc",
        "samsung",
        "exif_jpeg",
        "exif jpeg",
        "created with ",
        "file written by ",
        "software: ",
        "{",
        "[",
    ];
    holds.iter().any(|it| caption.contains(it))
        || begins.iter().any(|it| caption.starts_with(it))
        || ["default", "picture"].contains(&caption.as_str())
}

/// The items of a list.
fn items<'a, 'i>(list: Node<'a, 'i>) -> impl Iterator<Item = Node<'a, 'i>> {
    list.descendants().filter(move |it| {
        let outer = it.ancestors().skip(1);
        let mut between = outer.take_while(|it| it.id() != list.id());
        it.has_tag_name((RDF, "li")) && !between.any(|it| it.has_tag_name((RDF, "li")))
    })
}

/// A property of a structure: an attribute of it or of what stands for it, or an element in it.
fn property(of: Node<'_, '_>, space: &str, name: &str) -> Option<String> {
    let described = of
        .children()
        .find(|it| it.has_tag_name((RDF, "Description")));
    [Some(of), described].into_iter().flatten().find_map(|it| {
        let value = it.attribute((space, name)).map(str::to_owned);
        value.or_else(|| text(inner(it, space, name)?))
    })
}

fn inner<'a, 'i>(of: Node<'a, 'i>, space: &str, name: &str) -> Option<Node<'a, 'i>> {
    of.children().find(|it| it.has_tag_name((space, name)))
}

/// A structure in a structure.
fn structure<'a, 'i>(of: Node<'a, 'i>, space: &str, name: &str) -> Option<Node<'a, 'i>> {
    let described = of
        .children()
        .find(|it| it.has_tag_name((RDF, "Description")));
    let mut places = [Some(of), described].into_iter().flatten();
    places.find_map(|it| inner(it, space, name))
}

/// The words of an element: its own, or the first of its alternatives.
fn text(it: Node<'_, '_>) -> Option<String> {
    let mut words = it.descendants().filter(Node::is_text);
    let words = words.find_map(|it| it.text().map(str::trim).filter(|it| !it.is_empty()))?;
    Some(words.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn number(of: Node<'_, '_>, space: &str, name: &str) -> Option<f64> {
    let value: f64 = property(of, space, name)?.parse().ok()?;
    (-1.0..=2.0).contains(&value).then_some(value)
}

/// A region of the Metadata Working Group: its middle and size, as shares of the picture.
fn mwg(it: Node<'_, '_>) -> Option<WrittenRegion> {
    // Who is in a picture is nobody's business here.
    if property(it, MWG, "Type").is_some_and(|it| it == "Face") {
        return None;
    }
    let area = structure(it, MWG, "Area").and_then(|of| {
        let shares = property(of, AREA, "unit").is_none_or(|it| it == "normalized");
        let [x, y, w, h] = ["x", "y", "w", "h"].map(|name| number(of, AREA, name));
        let (x, y, w, h) = (x?, y?, w?, h?);
        shares.then(|| percent([x - w / 2.0, y - h / 2.0, w, h]))
    });
    told(property(it, MWG, "Name"), area)
}

/// A region of IPTC: its left upper corner and size, as shares of the picture.
fn iptc(it: Node<'_, '_>) -> Option<WrittenRegion> {
    let area = structure(it, IPTC, "RegionBoundary").and_then(|of| {
        let is = |name, value: &str| property(of, IPTC, name).is_some_and(|it| it == value);
        let fits = is("rbShape", "rectangle") && is("rbUnit", "relative");
        let [x, y, w, h] = ["rbX", "rbY", "rbW", "rbH"].map(|name| number(of, IPTC, name));
        let (x, y, w, h) = (x?, y?, w?, h?);
        fits.then(|| percent([x, y, w, h]))
    });
    told(property(it, IPTC, "Name"), area)
}

fn percent(shares: [f64; 4]) -> [f64; 4] {
    shares.map(|it| (it * 1000.0).round() / 10.0)
}

/// `None` for what says nothing.
fn told(name: Option<String>, area: Option<[f64; 4]>) -> Option<WrittenRegion> {
    let name = name.unwrap_or_default();
    (!name.is_empty() || area.is_some()).then_some(WrittenRegion { name, area })
}

#[cfg(test)]
mod tests {
    use super::Written;
    use super::WrittenRegion;
    use super::written_in;

    /// As the Metadata Working Group's guidelines write it (2.0, section 5.9; from memory), once with elements, once with attributes.
    const MWG: &str = r#"junk<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:mwg-rs="http://www.metadataworkinggroup.com/schemas/regions/" xmlns:stArea="http://ns.adobe.com/xmp/sType/Area#">
<dc:subject><rdf:Bag><rdf:li>left  door</rdf:li><rdf:li>oak &amp; ash</rdf:li><rdf:li>left door</rdf:li></rdf:Bag></dc:subject>
<mwg-rs:Regions rdf:parseType="Resource"><mwg-rs:RegionList><rdf:Bag>
<rdf:li><rdf:Description mwg-rs:Name="crack" mwg-rs:Type="Focus"><mwg-rs:Area stArea:x="0.5" stArea:y="0.25" stArea:w="0.1" stArea:h="0.05" stArea:unit="normalized"/></rdf:Description></rdf:li>
<rdf:li rdf:parseType="Resource"><mwg-rs:Name>ring</mwg-rs:Name><mwg-rs:Area rdf:parseType="Resource"><stArea:x>0.2</stArea:x><stArea:y>0.2</stArea:y><stArea:d>0.1</stArea:d></mwg-rs:Area></rdf:li>
</rdf:Bag></mwg-rs:RegionList></mwg-rs:Regions></rdf:Description></rdf:RDF></x:xmpmeta>junk"#;

    #[test]
    fn keywords_and_regions_come_out_whichever_way_they_are_written() {
        let region = |name: &str, area| WrittenRegion {
            name: name.to_owned(),
            area,
        };
        let found = written_in(MWG.as_bytes());
        assert_eq!(found.keywords, ["left door", "oak & ash"]);
        let wanted = [
            region("crack", Some([45.0, 22.5, 10.0, 5.0])),
            region("ring", None),
        ];
        assert_eq!(found.regions, wanted);
    }

    /// A record of IPTC-IIM 4 (section 1.5: mark, record, data set, length) in the block of an editor.
    fn record(sets: &[(u8, &[u8])]) -> Vec<u8> {
        let mut records = Vec::new();
        for (set, value) in sets {
            let long = u16::try_from(value.len()).unwrap().to_be_bytes();
            records.extend([&[0x1c, 2, *set][..], &long, value].concat());
        }
        let long = u32::try_from(records.len()).unwrap().to_be_bytes();
        [b"8BIM\x04\x04\0\0", &long[..], &records].concat()
    }

    #[test]
    fn records_say_keywords_and_captions_each_once() {
        let packet = MWG.replace(
            "</dc:subject>",
            "</dc:subject><dc:description><rdf:Alt><rdf:li xml:lang='x-default'>Chest, the feet\n are new</rdf:li></rdf:Alt></dc:description>",
        );
        let sets: [(u8, &[u8]); 6] = [
            (25, b"left door"),
            (25, b"gr\xfcn"),
            (120, b"Chest, the feet are"),
            (120, "größer".as_bytes()),
            (120, b"OLYMPUS DIGITAL CAMERA         "),
            (120, b"\x01\x02"),
        ];
        let found = written_in(&[packet.into_bytes(), record(&sets)].concat());
        assert_eq!(found.keywords, ["left door", "oak & ash", "grün"]);
        assert_eq!(found.captions, ["Chest, the feet are new", "größer"]);
    }

    #[test]
    fn what_cannot_be_read_is_nothing() {
        for bytes in [
            &b""[..],
            b"<rdf:RDF",
            b"<rdf:RDF></rdf:RDF>",
            b"<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\"><a></rdf:RDF>",
            b"<rdf:RDF \xff\xfe></rdf:RDF>",
        ] {
            assert_eq!(written_in(bytes), Written::default());
        }
    }
}
