"""The watch over every page sees what it is there for."""

from tests.browser.conftest import Watch


def test_script_errors_console_errors_and_stopped_scripts_are_seen(app, browser):
    with browser.new_context(base_url=app.address) as context:
        watch = Watch(context)
        page = context.new_page()
        page.goto("/")
        assert watch.faults == []
        page.evaluate("console.error('a wrong word')")
        page.evaluate("setTimeout(() => { throw new Error('a slip') })")
        page.evaluate(
            "document.body.append(Object.assign(document.createElement('script'),"
            " {text: 'document.title = 1'}))"
        )
        page.reload()
        told = " ".join(watch.faults)
    assert "a wrong word" in told
    assert "a slip" in told
    assert "Content Security Policy" in told


def test_an_answer_that_failed_is_seen(app, browser):
    with browser.new_context(base_url=app.address) as context:
        watch = Watch(context)
        page = context.new_page()
        page.route("**/begin/", lambda route: route.fulfill(status=500, body="broken"))
        page.goto("/begin/")
    assert any(fault.startswith("500 from") for fault in watch.faults)
