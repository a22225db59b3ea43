"""What hands do on the pages with a script, in every browser test: open one, find a line, wait until an entry is kept, send all home."""


def ready(context, file):
    """A page whose script has run."""
    page = context.new_page()
    page.goto(file.as_uri())
    page.wait_for_selector("html[data-ready]", state="attached")
    return page


def line(page, id_):
    return page.locator(f'[data-line="{id_}"]')


def saved(page, act):
    """Do something and wait until the browser has kept it."""
    before = page.evaluate("document.documentElement.dataset.saved || ''")
    act()
    page.wait_for_function("before => (document.documentElement.dataset.saved || '') !== before", arg=before)


def sent(page, target):
    """The results that the page sends home, as a file."""
    with page.expect_download() as download:
        page.click("#send")
    download.value.save_as(target)
    return target
