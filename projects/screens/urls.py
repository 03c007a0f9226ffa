"""All addresses of the screens; each audience adds its own list."""

urlpatterns: list = []
