//! What is told of the market for a piece.

use clap::Args;

use crate::cli::input::amount::amount;
use crate::cli::input::or::NONE;
use crate::cli::input::or::Or;
use crate::cli::input::or::Taken;
use crate::model::ids::PartId;
use crate::model::market::Chosen;
use crate::model::market::Market;
use crate::model::market::MarketFact;
use crate::model::market::MarketInput;
use crate::model::market::MeantFor;
use crate::model::market::Sold;
use crate::model::market::SoldAs;
use crate::model::market::Wish;
use crate::model::market::Worth;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// What is told of the market for a piece; it is kept with the piece. `none` takes back what was told.
#[derive(Args, Debug, Default)]
pub(in crate::cli) struct MarketArgs {
    /// Way to refinish it, such as strip_stain, or top=strip_stain for one part, or mend to do nothing to the surface; may be repeated; `none` takes it back, here and below
    #[arg(long, value_name = "[PART=]PATH", value_parser = chosen)]
    pub(in crate::cli) path: Vec<Chosen>,
    /// Private: what such pieces were sold for when so finished, such as strip_stain=340,360, or mend=190 when only mended; may be repeated; strip_stain=none, or none for all
    #[arg(long, value_name = "PATH=AMOUNTS", value_parser = sold)]
    pub(in crate::cli) sold: Vec<SoldWord>,
    /// Private: what the seller asks, in the book's currency
    #[arg(long, value_name = "AMOUNT")]
    pub(in crate::cli) seller_asks: Option<Or<String>>,
    /// Private: what others take for their part of the work, such as a specialist, besides what is told as the cost of repairs
    #[arg(long, value_name = "AMOUNT")]
    pub(in crate::cli) bill: Option<Or<String>>,
    /// Private: how it will be sold: own_sale, marketplace, consignment or auction
    #[arg(long)]
    pub(in crate::cli) channel: Option<Or<String>>,
    /// Private: what you take it for: fine, good or ordinary
    #[arg(long)]
    pub(in crate::cli) worth: Option<Or<Worth>>,
    /// Private: for whom it is meant: child
    #[arg(long, value_name = "WHOM")]
    pub(in crate::cli) meant_for: Option<Or<MeantFor>>,
    /// Private: what the pieces were of which prices are told: made_up where they too were cut down, or put together of two
    #[arg(long, value_name = "WHAT")]
    pub(in crate::cli) sold_as: Option<Or<SoldAs>>,
    /// Private: what is wished of the colour: lighter
    #[arg(long)]
    pub(in crate::cli) wish: Option<Or<Wish>>,
}

/// Comparables as typed: a path, and amounts that the book's currency still has to read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::cli) struct SoldWord {
    /// `None` only where all are taken back.
    path: Option<String>,
    amounts: Vec<String>,
}

/// What was typed of the market, with amounts in the book's currency.
pub(in crate::cli) fn market(book: &OpenBook, told: MarketArgs) -> Result<MarketInput, WorkError> {
    let mut gone = Taken::default();
    let mut sold = Vec::new();
    for line in told.sold {
        if line.amounts.iter().any(|it| it == NONE) {
            gone.take_back(MarketFact::Sold(line.path));
            continue;
        }
        for text in line.amounts {
            let price = amount(book, "--sold", Some(text))?;
            let path = line.path.clone().unwrap_or_default();
            sold.extend(price.map(|price| Sold { path, price }));
        }
    }
    if told.path.iter().any(|it| it.path == NONE) {
        gone.take_back(MarketFact::Chosen);
    }
    let seller_asks = gone.or(MarketFact::SellerAsks, told.seller_asks);
    let bill = gone.or(MarketFact::Bill, told.bill);
    let market = Market {
        worth: gone.or(MarketFact::Worth, told.worth),
        meant_for: gone.or(MarketFact::MeantFor, told.meant_for),
        wish: gone.or(MarketFact::Wish, told.wish),
        sold_as: gone.or(MarketFact::SoldAs, told.sold_as),
        seller_asks: amount(book, "--seller-asks", seller_asks)?,
        bill: amount(book, "--bill", bill)?,
        channel: gone.or(MarketFact::Channel, told.channel),
        sold,
        chosen: told.path.into_iter().filter(|it| it.path != NONE).collect(),
    };
    Ok(MarketInput {
        told: market,
        gone: gone.facts,
    })
}

/// Reads `strip_stain` or `top=strip_stain`.
fn chosen(text: &str) -> Result<Chosen, String> {
    let (part, path) = match text.split_once('=') {
        Some((part, path)) => (Some(part), path),
        None => (None, text),
    };
    let part = part.map(|it| it.trim().parse::<PartId>());
    let part = part.transpose().map_err(|why| why.to_string())?;
    let path = path.trim().to_owned();
    if path.is_empty() {
        return Err("write a path, such as `strip_stain`, or `top=strip_stain`".to_owned());
    }
    Ok(Chosen { part, path })
}

/// Reads `strip_stain=340` or `strip_stain=340,360`; a comma lies between amounts, so a decimal sign is a point here.
fn sold(text: &str) -> Result<SoldWord, String> {
    let wrong = || {
        format!(
            "`{text}` is no price after a path; write `strip_stain=340` or `strip_stain=340,360`"
        )
    };
    if text.trim() == NONE {
        return Ok(SoldWord {
            path: None,
            amounts: vec![NONE.to_owned()],
        });
    }
    let (path, amounts) = text.split_once('=').ok_or_else(wrong)?;
    let amounts: Vec<String> = amounts.split(',').map(|it| it.trim().to_owned()).collect();
    if path.trim().is_empty() || amounts.iter().any(String::is_empty) {
        return Err(wrong());
    }
    if let Some(why) = not_two_prices(text, &amounts) {
        return Err(why);
    }
    Ok(SoldWord {
        path: Some(path.trim().to_owned()),
        amounts,
    })
}

/// Like pieces do not bring five times as much as each other: then the comma is meant as the sign of thousands or of decimals.
fn not_two_prices(text: &str, amounts: &[String]) -> Option<String> {
    let read: Option<Vec<f64>> = amounts.iter().map(|it| it.parse().ok()).collect();
    let read = read.filter(|_| !text.contains(", "))?;
    let far = |two: &[f64]| two[0].max(two[1]) >= 5.0 * two[0].min(two[1]);
    let at = read.windows(2).position(far)?;
    let (one, two) = (&amounts[at], &amounts[at + 1]);
    Some(format!(
        "`{one},{two}` would be two prices, {one} and {two}; write one price as `{one}{two}` or `{one}.{two}`, and two such prices with `--sold` twice"
    ))
}

#[cfg(test)]
mod tests {
    use super::chosen;
    use super::sold;

    #[test]
    fn paths_and_prices_are_read_as_people_write_them() {
        let it = chosen("top=strip_stain").unwrap();
        assert_eq!(
            (it.part.unwrap().as_str(), it.path.as_str()),
            ("top", "strip_stain")
        );
        assert_eq!(chosen("leave").unwrap().part, None);
        for wrong in ["", "=leave", "top=", "Top=leave"] {
            assert!(chosen(wrong).is_err(), "{wrong}");
        }
        let it = sold("strip_stain=340, 360.50").unwrap();
        assert_eq!(
            (it.path.as_deref(), it.amounts),
            (
                Some("strip_stain"),
                vec!["340".to_owned(), "360.50".to_owned()]
            )
        );
        assert!(sold("leave=95,120").is_ok() && sold("leave=1500, 200").is_ok());
        let why = sold("leave=1,500").unwrap_err();
        assert!(why.contains("`1500`") && why.contains("twice"), "{why}");
        for wrong in [
            "340",
            "=340",
            "leave=",
            "leave=1,",
            "leave=1,500",
            "leave=340,50",
        ] {
            assert!(sold(wrong).is_err(), "{wrong}");
        }
    }
}
