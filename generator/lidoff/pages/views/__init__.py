"""View data: what each page says, as frozen data made by pure functions; the templates only set it."""
