// An OpenID Connect provider on 127.0.0.1 whose people are what they say: whoever signs in as 'ada' is in the groups that
// the environment gives for 'ada'.
import { Provider } from 'oidc-provider';

const port = Number(process.argv[2]);
const settings = JSON.parse(process.argv[3]);
const provider = new Provider(`http://127.0.0.1:${port}`, {
  clients: [{
    client_id: settings.clientId,
    client_secret: settings.clientSecret,
    redirect_uris: [settings.redirect],
    grant_types: ['authorization_code'],
    response_types: ['code'],
  }],
  scopes: ['openid', 'profile', 'groups'],
  claims: { openid: ['sub'], profile: ['name'], groups: ['groups'] },
  pkce: { required: () => true },
  findAccount: (_, id) => ({
    accountId: id,
    claims: () => ({ sub: id, name: `${id} of the provider`, groups: settings.groups[id] ?? [] }),
  }),
});
provider.listen(port, '127.0.0.1', () => console.log('running'));
