//! What is told of the market for a piece.

use clap::Args;

use crate::cli::input::amount::amount;
use crate::model::ids::PartId;
use crate::model::market::Chosen;
use crate::model::market::Market;
use crate::model::market::MeantFor;
use crate::model::market::Sold;
use crate::model::market::Wish;
use crate::model::market::Worth;
use crate::work::WorkError;
use crate::work::book::open_book::OpenBook;

/// What is told of the market for a piece; it is kept with the piece.
#[derive(Args, Debug, Default)]
pub(in crate::cli) struct MarketArgs {
    /// Way to refinish it, such as strip_stain, or top=strip_stain for one part; may be repeated, `none` takes it back
    #[arg(long, value_name = "[PART=]PATH", value_parser = chosen)]
    pub(in crate::cli) path: Vec<Chosen>,
    /// Private: what such pieces were sold for when so finished, such as strip_stain=340 or strip_stain=340,360; may be repeated
    #[arg(long, value_name = "PATH=AMOUNTS", value_parser = sold)]
    pub(in crate::cli) sold: Vec<SoldWord>,
    /// Private: what the seller asks, in the book's currency
    #[arg(long, value_name = "AMOUNT")]
    pub(in crate::cli) seller_asks: Option<String>,
    /// Private: how it will be sold: own_sale, marketplace, consignment or auction
    #[arg(long)]
    pub(in crate::cli) channel: Option<String>,
    /// Private: what you take it for: fine, good or ordinary
    #[arg(long)]
    pub(in crate::cli) worth: Option<Worth>,
    /// Private: for whom it is meant: child
    #[arg(long, value_name = "WHOM")]
    pub(in crate::cli) meant_for: Option<MeantFor>,
    /// Private: what is wished of the colour: lighter
    #[arg(long)]
    pub(in crate::cli) wish: Option<Wish>,
}

/// Comparables as typed: a path, and amounts that the book's currency still has to read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::cli) struct SoldWord {
    path: String,
    amounts: Vec<String>,
}

/// What was typed of the market, with amounts in the book's currency.
pub(in crate::cli) fn market(book: &OpenBook, told: MarketArgs) -> Result<Market, WorkError> {
    let mut sold = Vec::new();
    for line in told.sold {
        for text in line.amounts {
            let price = amount(book, Some(text))?;
            sold.extend(price.map(|price| Sold {
                path: line.path.clone(),
                price,
            }));
        }
    }
    Ok(Market {
        worth: told.worth,
        meant_for: told.meant_for,
        wish: told.wish,
        seller_asks: amount(book, told.seller_asks)?,
        channel: told.channel,
        sold,
        chosen: told.path,
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
    let (path, amounts) = text.split_once('=').ok_or_else(wrong)?;
    let amounts: Vec<String> = amounts.split(',').map(|it| it.trim().to_owned()).collect();
    if path.trim().is_empty() || amounts.iter().any(String::is_empty) {
        return Err(wrong());
    }
    Ok(SoldWord {
        path: path.trim().to_owned(),
        amounts,
    })
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
            (it.path.as_str(), it.amounts),
            ("strip_stain", vec!["340".to_owned(), "360.50".to_owned()])
        );
        for wrong in ["340", "=340", "leave=", "leave=1,"] {
            assert!(sold(wrong).is_err(), "{wrong}");
        }
    }
}
