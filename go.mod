module trimscribe

go 1.24
