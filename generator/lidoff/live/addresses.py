"""Which product an address or a path of the site is about."""

OF_PRODUCTS = ("products", "data/products", "data/records", "pictures")
"""The folders of the site in which the files of a product lie in folders, or have the names, of its brand and model."""


def address_of_record(path: str) -> str:
    """The address of the product that a record file describes: it lies in the folders of brand and model."""
    return address_of("/".join(path.split("/")[-3:-1]))


def address_of(slug: str | None) -> str:
    """The address of a product's page."""
    return f"/products/{slug}/"


def product_at(address: str) -> str | None:
    """The brand and model of a product's page; None where the address is that of another page."""
    slug = address.removeprefix("/products/").removesuffix("/")
    return slug if slug.count("/") == 1 and address == address_of(slug) else None


def product_in(path: str) -> str | None:
    """The brand and model in a path of the site, where there are any."""
    for folder in OF_PRODUCTS:
        brand, _, rest = path.removeprefix(f"{folder}/").partition("/")
        if rest and path.startswith(f"{folder}/"):
            return f"{brand}/{rest.partition('/')[0].removesuffix('.json')}"
    return None
