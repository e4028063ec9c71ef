"""Tables of the code as data, one in a file; each row says where its values are known from."""
